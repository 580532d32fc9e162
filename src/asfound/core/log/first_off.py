"""When a thing first came off, and on which side of that moment a picture was taken: the one place that decides it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from asfound.model.log import Event

TakenWhen = Literal["before", "after", "undated"]


def first_off_s(events: Iterable[Event]) -> dict[int, float]:
    """Tag to the moment it first came off, as Unix seconds; what never came off is left out.

    Coming off again, after it was refitted, changes nothing of how it was found.
    """
    first: dict[int, float] = {}
    for event in events:
        if event.kind == "off":
            at = event.at.timestamp()
            first[event.tag_id] = min(at, first.get(event.tag_id, at))
    return first


def taken_when(taken_utc_s: float | None, off_utc_s: float | None) -> TakenWhen:
    """Whether a picture was taken before or after a thing first came off.

    Parameters
    ----------
    taken_utc_s : float or None
        Corrected time of the picture in Unix seconds, None when it cannot be told.
    off_utc_s : float or None
        When the thing first came off, None when it did not, or nobody said.

    Returns
    -------
    {"before", "after", "undated"}
        "before" also at the moment itself, and for every picture of what never came off. "undated" when the thing came
        off and the time of the picture cannot be told: it may show either.
    """
    if off_utc_s is None:
        return "before"
    if taken_utc_s is None:
        return "undated"
    return "after" if taken_utc_s > off_utc_s else "before"
