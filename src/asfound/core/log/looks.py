"""What was said last when refitted things were looked over; the answers are a person's, and history stays."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from asfound.model.log import LOOKED_OVER, LogLine


def latest_looks(lines: Iterable[LogLine]) -> dict[int, tuple[LogLine, ...]]:
    """Tag to what was said last of it and of each of its ends, in the order in which it was said.

    A word on the whole thing goes before earlier ones on its ends, and nothing stands any more once it came off again.
    Lines that are struck out do not count.
    """
    standing: dict[int, dict[str, LogLine]] = {}
    for line in sorted(lines, key=lambda one: (one.at, one.event_id)):
        if line.tag_id is None or line.is_struck:
            continue
        if line.kind == "off" or (line.kind == LOOKED_OVER and not line.end):
            standing.pop(line.tag_id, None)
        if line.kind == LOOKED_OVER:
            said = standing.setdefault(line.tag_id, {})
            said.pop(line.end, None)
            said[line.end] = line
    return {tag_id: tuple(said.values()) for tag_id, said in standing.items()}


def not_right(looks: Sequence[LogLine]) -> tuple[LogLine, ...]:
    """Answers after which somebody must look again: called wrong first, then what could not be told."""
    return tuple(sorted((one for one in looks if one.how != "right"), key=lambda one: one.how != "wrong"))


def look_words(line: LogLine) -> str:
    """What was said, in words: "wrong, in P1_0090.jpg: clamp the other way round"."""
    who = f" by {line.by_whom}" if line.by_whom else ""
    where = f", in {line.picture}" if line.picture else ""
    return f"recorded as {line.how}{who}{where}" + (f": {line.note}" if line.note else "")
