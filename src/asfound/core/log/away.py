"""What was sent out and is not back, and what was cut or broken and not put right, from the lines of the log."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from asfound.core.words import fold
from asfound.model.log import LogLine

_BROKEN = frozenset({"cut", "broken"})
_PUT_RIGHT = frozenset({"repaired", "new part", "came back"})


def find_away(lines: Iterable[LogLine]) -> list[LogLine]:
    """Lines by which things were sent out that no later line says to be back, in the order in which they went."""
    away: dict[tuple[int | None, str], LogLine] = {}
    for line in _standing(lines):
        if line.kind == "sent out":
            away[thing_of(line)] = line
        elif line.kind == "came back":
            away.pop(thing_of(line), None)
    return list(away.values())


def find_broken(lines: Iterable[LogLine]) -> dict[int, LogLine]:
    """Things of which a part was cut or broken, with the last line that says so; repaired, new or back is put right."""
    broken: dict[int, LogLine] = {}
    for line in _standing(lines):
        if line.tag_id is not None and line.kind in _BROKEN:
            broken[line.tag_id] = line
        elif line.tag_id is not None and line.kind in _PUT_RIGHT:
            broken.pop(line.tag_id, None)
    return broken


def thing_of(line: LogLine) -> tuple[int | None, str]:
    """What a line is about, so that another one about the same is found: a tag, else the words for it."""
    return (line.tag_id, "") if line.tag_id is not None else (None, " ".join(fold(line.what).split()))


def _standing(lines: Iterable[LogLine]) -> list[LogLine]:
    def when(line: LogLine) -> tuple[datetime, int]:
        return line.at, line.event_id

    return sorted((line for line in lines if not line.is_struck), key=when)
