"""When a zone's clocks were put forward or back, what that makes of a typed time, and how pictures change places when
a camera's clock is put right.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta, tzinfo
from itertools import pairwise
from zoneinfo import ZoneInfo

from asfound.core.capture.moments import render_rfc3339
from asfound.errors import Misused

_DAY, _LEAST = timedelta(days=1), timedelta(minutes=1)
LONGEST_DAYS = 366 * 20
"""No job lasts longer; a camera set back to its first day would otherwise make this walk through decades."""


def find_clock_changes(first: datetime, last: datetime, zone: tzinfo) -> list[datetime]:
    """Local times, as the clocks still showed them, at which they were put forward or back; to the minute, in order.

    Parameters
    ----------
    first, last : datetime
        Naive local times; no more than `LONGEST_DAYS` after the first are looked at.
    """
    start = first.replace(tzinfo=zone).astimezone(UTC)
    days = min((last - first).days + 2, LONGEST_DAYS)
    moments = [start + _DAY * count for count in range(days + 1)]
    changes = []
    for early, late in pairwise(moments):
        if _offset(early, zone) != _offset(late, zone):
            at = _change_between(early, late, zone)
            changes.append((at + _offset(early, zone)).replace(tzinfo=None))
    return [change for change in changes if first <= change <= last]


def place_typed(local: datetime, zone: ZoneInfo) -> datetime:
    """A time that a person typed, with the offset that the zone had then; one that has an offset comes back as it is.

    Raises
    ------
    Misused
        If the clocks showed this time twice, naming both to type, or never. Nothing is guessed.
    """
    if local.tzinfo is not None:
        return local
    first, second = (local.replace(tzinfo=zone, fold=fold) for fold in (0, 1))
    before, after = (each.utcoffset() or timedelta(0) for each in (first, second))
    if before == after:
        return first
    typed = f"{local:%Y-%m-%d %H:%M}"
    if before < after:
        raise Misused(
            f"{typed} never came in {zone.key}: the clocks went forward over it. Type the time that they showed."
        )
    both = " or ".join(render_rfc3339(local, round(each.total_seconds() / 60)) for each in (before, after))
    raise Misused(f"{typed} came twice in {zone.key}, because the clocks went back. Say which one: {both}.")


def count_out_of_order(written_s: Mapping[int, float], corrected_s: Mapping[int, float]) -> int:
    """How many neighbours, in the order of the corrected times, stand the other way round by the uncorrected ones.

    Parameters
    ----------
    written_s, corrected_s : mapping of int to float
        Picture to its time in Unix seconds; of the same pictures.
    """
    order = sorted(corrected_s, key=lambda picture_id: (corrected_s[picture_id], picture_id))
    return sum(written_s[one] > written_s[other] for one, other in pairwise(order))


def _change_between(early: datetime, late: datetime, zone: tzinfo) -> datetime:
    """The first minute with the later offset."""
    before = _offset(early, zone)
    while late - early > _LEAST:
        middle = (early + (late - early) / 2).replace(second=0, microsecond=0)
        if middle <= early:
            break
        early, late = (middle, late) if _offset(middle, zone) == before else (early, middle)
    return late.replace(second=0, microsecond=0)


def _offset(moment: datetime, zone: tzinfo) -> timedelta:
    return moment.astimezone(zone).utcoffset() or timedelta(0)
