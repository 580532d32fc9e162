"""Looking over what went back: a refit picture beside one of how it was, and the person's word on it.

The program shows and boxes; only a person says "right", "wrong" or "can't tell", and what is kept is that they said so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from asfound.actions import snags
from asfound.actions import tag as tag_actions
from asfound.actions.archive import Archive
from asfound.actions.found_end import SeenEnd, seen_end
from asfound.actions.log import get_line
from asfound.core.log.looks import latest_looks, not_right
from asfound.errors import Misused
from asfound.model.log import LOOK_ANSWERS, LOOKED_OVER, LogLine, Snag
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Tag, TagEnd
from asfound.store import events, spots
from asfound.store.pictures import get_picture


@dataclass(frozen=True, slots=True)
class LookedOver:
    """What was written down; `snag` is the one that "wrong" opened, None when there was one already, or none."""

    line: LogLine
    snag: Snag | None


@dataclass(frozen=True, slots=True)
class ToLookOver:
    """A refit picture to look at beside how it was.

    Attributes
    ----------
    before : SeenEnd
        The as-found picture of the end.
    after : Picture
        Taken after it went back.
    pinned : SeenEnd or None
        Where the end is in it, if that is known.
    """

    tag: Tag
    end: TagEnd
    before: SeenEnd
    after: Picture
    pinned: SeenEnd | None

    @property
    def both_ids(self) -> tuple[int, int]:
        """The picture of how it was and the one of now."""
        return self.before.picture.picture_id, self.after.picture_id

    @property
    def before_at(self) -> tuple[float, float]:
        """Where the end is in the picture of how it was, in fractions."""
        return self.before.pin.x_frac, self.before.pin.y_frac

    @property
    def after_at(self) -> tuple[float, float] | None:
        """Where the end is in the picture of now, in fractions; None where that is not known."""
        return (self.pinned.pin.x_frac, self.pinned.pin.y_frac) if self.pinned is not None else None


def look_over(
    archive: Archive,
    tag: Tag,
    answer: str,
    *,
    end: EndLetter | None = None,
    picture: Picture | None = None,
    beside: Picture | None = None,
    note: str = "",
    by_whom: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LookedOver:
    """Write down what a person said of a refitted thing; "wrong" opens a snag, in the same step.

    Parameters
    ----------
    answer : str
        One of `LOOK_ANSWERS`.
    picture, beside : Picture or None
        The picture of now, and the one of how it was.

    Raises
    ------
    Misused
        If the answer is none.
    """
    if answer not in LOOK_ANSWERS:
        raise Misused(f'"{answer}" is not an answer; say one of: {", ".join(LOOK_ANSWERS)}.')
    now = archive.now()
    with archive.step(f"{tag.number} looked over: {answer}"):
        event_id = events.add_event(
            archive.store,
            tag.tag_id,
            LOOKED_OVER,
            at or now,
            now,
            is_day_only=is_day_only,
            picture_id=picture.picture_id if picture else None,
            beside_id=beside.picture_id if beside else None,
            end=end or "",
            how=answer,
            note=note,
            by_whom=by_whom,
        )
        snag = _open_snag(archive, tag, end, picture, note) if answer == "wrong" else None
    return LookedOver(get_line(archive, event_id), snag)


def list_looks(archive: Archive) -> dict[int, tuple[LogLine, ...]]:
    """Tag to what was said last of it and of each of its ends."""
    return latest_looks(events.list_lines(archive.store, archive.job.job_id))


def look_again(archive: Archive) -> list[tuple[Tag, LogLine]]:
    """What was called wrong, or could not be told, and still stands so; called wrong first, by tag as entered."""
    looks = list_looks(archive)
    found = [(tag, line) for tag in tag_actions.list_tags(archive) for line in not_right(looks.get(tag.tag_id, ()))]
    return sorted(found, key=lambda one: one[1].how != "wrong")


def pictures_to_look_over(archive: Archive, tag: Tag) -> list[ToLookOver]:
    """Refit pictures of a thing beside its as-found pictures: those in which an end is pinned first, the latest first.

    A picture of the as-found picture's spot counts too, for the end may be in it though nobody pinned it. Empty while
    the thing is not back, or no picture was taken since.
    """
    back_s = _back_s(archive, tag)
    if back_s is None:
        return []
    ends = tag_actions.list_ends(archive).get(tag.tag_id, ())
    found = [one for end in ends for one in _of_end(archive, tag, end, back_s)]
    return sorted(found, key=lambda one: (one.pinned is None, -(one.after.taken_utc_s or 0.0), one.end.end))


def _of_end(archive: Archive, tag: Tag, end: TagEnd, back_s: float) -> Iterator[ToLookOver]:
    seen = seen_end(archive, tag, end)
    if seen.as_found is None:
        return
    later = {
        one.picture.picture_id: one
        for one in seen.others
        if one.picture.taken_utc_s is not None and one.picture.taken_utc_s >= back_s
    }
    for one in later.values():
        yield ToLookOver(tag, end, seen.as_found, one.picture, one)
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    spot_id = spot_of.get(seen.as_found.picture.picture_id)
    for picture_id, its in spot_of.items():
        if its == spot_id and picture_id not in later:
            picture = get_picture(archive.store, picture_id)
            if picture.taken_utc_s is not None and picture.taken_utc_s >= back_s:
                yield ToLookOver(tag, end, seen.as_found, picture, None)


def _back_s(archive: Archive, tag: Tag) -> float | None:
    """When a thing went back for the last time; from the morning of a day of which no more is known."""
    lines = [line for line in events.find_lines(archive.store, tag.tag_id) if not line.is_struck]
    moved = [line for line in lines if line.kind in ("off", "refitted")]
    if not moved or moved[-1].kind == "off":
        return None
    last_off = max((place for place, line in enumerate(moved) if line.kind == "off"), default=-1)
    first = moved[last_off + 1]
    return (first.at.replace(hour=0, minute=0, second=0) if first.is_day_only else first.at).timestamp()


def _open_snag(archive: Archive, tag: Tag, end: EndLetter | None, picture: Picture | None, note: str) -> Snag | None:
    what = f"recorded as wrong when looked over{f' at end {end}' if end else ''}{f': {note}' if note else ''}"
    if any(one.is_open and one.tag_id == tag.tag_id and one.what == what for one in snags.list_snags(archive)):
        return None
    return snags.add_snag(archive, what, snags.SnagTies(tag=tag, picture=picture))
