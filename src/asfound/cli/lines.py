"""Lines of the log, for people and for scripts."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from asfound.actions.log_list import ListedLine
from asfound.cli.json_documents import moment
from asfound.cli.moments import day_or_minute
from asfound.cli.parts import console
from asfound.cli.places import padded


def print_lines(lines: Iterable[ListedLine], zone: str) -> None:
    """A line each: its number, when, which thing, what happened."""
    for one in lines:
        when = day_or_minute(one.line.at, zone, is_day_only=one.line.is_day_only)
        words = "  ".join(filter(None, (one.card.tag.name if one.card else "", *one.words)))
        struck = "  [not so]" if one.line.is_struck else ""
        told = f"{padded(one.label, 5, at_right=True)}  {one.happened:<11}  {words}{struck}"
        console().print(f"{one.line.event_id or '':>4}  {when}  {told}".rstrip())


def line_document(listed: ListedLine) -> dict[str, Any]:
    """A line of `log --json`; "line" is null for what is kept elsewhere than in the log, such as a snag."""
    line, tag = listed.line, listed.card.tag if listed.card else None
    return {
        "line": line.event_id or None,
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
        "grade": line.grade,
        "promised": line.promised,
        "by": line.by_whom,
        "note": line.note,
        "in": line.picture_id,
        "beside": line.beside_id,
        "strikes": line.strikes,
        "struck": line.is_struck,
    }
