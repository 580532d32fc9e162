"""Short ways to write down tags, ends and events in the tests of the log."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Literal

from asfound.model.log import Event
from asfound.model.tags import EndLetter, Side, Tag, TagEnd

START = datetime(2025, 10, 11, 9, 0, tzinfo=UTC)


def tag(
    tag_id: int,
    number: str = "",
    *,
    kind: str = "wire",
    name: str = "",
    ends: int = 2,
    order: int = 1,
    flow: str = "",
    size: str = "",
    bag: str = "",
    condition: str = "",
) -> Tag:
    """A tag; its number is its identity unless said."""
    return Tag(
        tag_id,
        1,
        number=number or str(tag_id),
        order=order,
        created_at=START,
        kind=kind,
        name=name,
        ends=ends,
        flow=flow,
        size=size,
        bag=bag,
        condition=condition,
    )


def end(
    tag_id: int,
    letter: EndLetter,
    place: str = "",
    *,
    how: str = "",
    capped: bool | None = None,
    colour: str = "",
    tape_lost: bool = False,
    side: Side | Literal[""] = "",
    terminal: str = "",
) -> TagEnd:
    """One end of a tag."""
    return TagEnd(
        tag_id,
        letter,
        place=place,
        how_it_sat=how,
        capped=capped,
        colour=colour,
        tape_lost=tape_lost,
        side=side,
        terminal=terminal,
    )


def event(tag_id: int, kind: Literal["off", "refitted"], hours: int = 0, *, how: str = "", bag: str = "") -> Event:
    """Something in the log, so many hours after the start."""
    at = START + timedelta(hours=hours)
    return Event(hours * 1000 + tag_id, tag_id, kind, at, how, bag, "", at)
