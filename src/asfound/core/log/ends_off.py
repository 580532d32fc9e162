"""One end off and on again: the thing is refitted once every end that came off is back."""

from __future__ import annotations

from collections.abc import Iterable

from asfound.model.log import Event

BOTH = frozenset({"A", "B"})


def of_the_whole(events: Iterable[Event]) -> list[Event]:
    """Events without those refittings of one end after which the other is still off.

    Parameters
    ----------
    events : iterable of Event
        In the order in which they happened. One end that comes off counts as the thing off: it is no longer as it was.
        A thing of which nothing says that it came off had both ends off.
    """
    off: dict[int, frozenset[str]] = {}
    found = []
    for event in events:
        ends = frozenset({event.end}) if event.end else BOTH
        if event.kind == "off":
            off[event.tag_id] = off.get(event.tag_id, frozenset()) | ends
        else:
            off[event.tag_id] = off.get(event.tag_id, BOTH) - ends
        if event.kind == "off" or not off[event.tag_id]:
            found.append(event)
    return found
