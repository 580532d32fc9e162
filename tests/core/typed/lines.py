"""The job that lines are read of in these tests: 1 to 60 without 33 and 34, two things numbered 12, some bags."""

from __future__ import annotations

from datetime import datetime

from asfound.core.typed.reader import read_line
from asfound.core.typed.said import KnownNames, Reading, ReadLine

NOW = datetime(2025, 11, 5, 16, 40)
KNOWN = KnownNames(
    tags={**{str(number): 1 for number in range(1, 61) if number not in (33, 34)}, "12": 2},
    bags=frozenset({"B1", "B2", "B4", "B9"}),
    lines=frozenset({"17", "18", "28"}),
    one_ended=frozenset({"20"}),
)


def read(line: str) -> ReadLine:
    return read_line(line, KNOWN, NOW)


def sure(line: str) -> Reading:
    answer = read(line)
    assert answer.sure is not None, f"{line}: {answer.why}"
    return answer.sure
