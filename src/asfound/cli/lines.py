"""Lines of the log, for people and for scripts."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from asfound.cli.json_documents import moment
from asfound.cli.moments import day_or_minute
from asfound.cli.parts import console
from asfound.cli.places import padded
from asfound.core.log.line_words import line_words
from asfound.model.log import NOT_SO, LogLine
from asfound.model.tags import Tag


def print_lines(lines: Iterable[LogLine], tags: Mapping[int, Tag], zone: str) -> None:
    """A line each: its number, when, which thing, what happened."""
    for line in lines:
        tag = tags.get(line.tag_id or 0)
        number = "" if tag is None else f"{tag.number}{line.end.lower()}"
        happened = f"takes line {line.strikes} back" if line.kind == NOT_SO else line.kind
        when = day_or_minute(line.at, zone, is_day_only=line.is_day_only)
        words = "  ".join(filter(None, (tag.name if tag else "", *line_words(line))))
        struck = "  [not so]" if line.is_struck else ""
        console().print(
            f"{line.event_id:>4}  {when}  {padded(number, 5, at_right=True)}  {happened:<11}  {words}{struck}".rstrip()
        )


def line_document(line: LogLine, tags: Mapping[int, Tag]) -> dict[str, Any]:
    """A line of `log --json`."""
    tag = tags.get(line.tag_id or 0)
    return {
        "line": line.event_id,
        "at": moment(line.at),
        "day_only": line.is_day_only,
        "tag": None if tag is None else tag.number,
        "order": None if tag is None else tag.order,
        "end": line.end or None,
        "name": "" if tag is None else tag.name,
        "event": line.kind,
        "how": line.how,
        "bag": line.bag,
        "what": line.what,
        "amount": line.amount,
        "container": line.container,
        "looks": line.looks,
        "by": line.by_whom,
        "note": line.note,
        "in": line.picture_id,
        "beside": line.beside_id,
        "strikes": line.strikes,
        "struck": line.is_struck,
    }
