"""Pictures as they are listed: with the spot, the stage and the numbers on each; and by the day they were taken."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, datetime

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.known import known_pictures, known_tags, spot_name, spot_of
from asfound.core.log.first_off import taken_when
from asfound.core.pins.numbering import sort_key
from asfound.model.pictures import Picture
from asfound.store.pictures import get_picture
from asfound.store.pins import pins_on_picture


@dataclass(frozen=True, slots=True)
class ListedPicture:
    """A picture with where it belongs.

    Attributes
    ----------
    spot_id : int or None
        None for a picture in no spot.
    stage : str
        "before" or "after" what is pinned on it came off; empty when that is not known.
    numbers : tuple of str
        Tag numbers with ends that are pinned on it, such as ``112A``.
    """

    picture: Picture
    spot_id: int | None
    spot_name: str
    stage: str
    numbers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ListedDay:
    """A day on which pictures were taken.

    Attributes
    ----------
    day : date or None
        None for pictures whose time is not known.
    pictures : tuple of Picture
        Oldest first.
    spot_ids : tuple of int
        The spots they are in, in the order of their first picture of the day.
    """

    day: date | None
    pictures: tuple[Picture, ...]
    spot_ids: tuple[int, ...]

    @property
    def first_at(self) -> datetime | None:
        """When the first picture was taken."""
        return self.pictures[0].taken_at

    @property
    def last_at(self) -> datetime | None:
        """When the last picture was taken."""
        return self.pictures[-1].taken_at


def read_picture(archive: Archive, picture_id: int) -> ListedPicture:
    """One picture as it is listed, with the tag ends pinned on it."""
    picture, spot_id = get_picture(archive.store, picture_id), spot_of(archive).get(picture_id)
    pinned = pins_on_picture(archive.store, picture_id)
    ends = sorted(((known_tags(archive)[pin.tag_id].number, pin.end) for pin in pinned), key=_by_number)
    off = log.off_times_s(archive)
    stage = _stage(picture, [off[pin.tag_id] for pin in pinned if pin.tag_id in off])
    return ListedPicture(picture, spot_id, spot_name(archive, spot_id), stage, tuple(n + end for n, end in ends))


def list_days(archive: Archive) -> list[ListedDay]:
    """Days with pictures, oldest first; pictures without a time last."""
    by_day: dict[date | None, list[Picture]] = defaultdict(list)
    for picture in known_pictures(archive).values():
        by_day[picture.taken_at.date() if picture.taken_at else None].append(picture)
    places = spot_of(archive)
    return [
        ListedDay(day, tuple(some), tuple(dict.fromkeys(places[p.picture_id] for p in some if p.picture_id in places)))
        for day, some in sorted(by_day.items(), key=lambda one: (one[0] is None, one[0] or date.min))
    ]


def _stage(picture: Picture, off_s: list[float]) -> str:
    """Before or after, told by what is pinned on it and when that came off."""
    taken = taken_when(picture.taken_utc_s, min(off_s)) if off_s else "undated"
    return "" if taken == "undated" else taken


def _by_number(end: tuple[str, str]) -> tuple[object, str]:
    return sort_key(end[0]), end[1]
