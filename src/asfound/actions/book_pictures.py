"""Pictures for printing: as they are told in a book, where spots lie, and their pixels cut to size."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import datetime
from functools import lru_cache
from math import ceil
from zoneinfo import ZoneInfo

from asfound.actions import log, views
from asfound.actions.archive import Archive
from asfound.actions.overviews import list_overviews
from asfound.actions.spots import list_spots
from asfound.actions.tag_card import TagCard
from asfound.actions.views import RgbImage
from asfound.core.log.first_off import taken_when
from asfound.core.pins.numbering import sort_key
from asfound.core.sheets.book.content import OverviewEntry, Pinned, Shown, SpotEntry
from asfound.core.sheets.crops import printed_px
from asfound.core.sheets.marks import PictureMark
from asfound.errors import AsfoundError
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Pin, PinProposal
from asfound.store import pins, spots
from asfound.store.pictures import list_pictures

PRINTED_QUALITY = 78
"""JPEG quality of printed pictures: at 200 dots an inch no block is seen at arm's length."""

LIKELY = 0.5
"""Confidence from which a carried pin is drawn on a spot's picture, as a guess."""

OTHERS_SHOWN = 4
KEPT_IN_MEMORY = 6


class BookPictures:
    """The pictures of one job, with where their tags are."""

    def __init__(self, archive: Archive, cards: Mapping[int, TagCard]) -> None:
        self._archive = archive
        self._cards = cards
        self.known = {one.picture_id: one for one in list_pictures(archive.store, archive.job.job_id)}
        self._spot_of = spots.load_membership(archive.store, archive.job.job_id)
        self._pins = self._as_found_pins()

    def shown(self, picture: Picture) -> Shown:
        """A picture in the words of the book."""
        taken = f"{picture.taken_at:%Y-%m-%d %H:%M}" if picture.taken_at else ""
        doubt = ", time doubtful" if taken and picture.time_doubt else ""
        size = (picture.width_px, picture.height_px)
        return Shown(picture.picture_id, picture.file, size, f"{taken}{doubt}", self._spot_of.get(picture.picture_id))

    def pinned(self, pin: Pin | PinProposal) -> Pinned:
        """A pin in the words of the book."""
        box = None if pin.w_frac is None or pin.h_frac is None else (pin.w_frac, pin.h_frac)
        return Pinned(self._end_label(pin.tag_id, pin.end), pin.x_frac, pin.y_frac, isinstance(pin, Pin), box)

    def list_spots(self, chosen: Callable[[int], bool]) -> list[SpotEntry]:
        """Spots in order; with tags chosen, those in which one of them is pinned."""
        entries = []
        for spot in list_spots(self._archive):
            members = [self.known[i] for i in spot.picture_ids if i in self.known]
            tag_ids = {pin.tag_id for one in members for pin in self._pins.get(one.picture_id, ())}
            if members and (any(map(chosen, tag_ids)) or chosen(0)):
                entries.append(self._spot(spot.spot_id, spot.name, members))
        return entries

    def list_overviews(self, listed: Collection[int]) -> list[OverviewEntry]:
        """Pictures from afar with those spots on them that are in the book."""
        entries = []
        for one in list_overviews(self._archive):
            seen = [spot for spot in one.spots if spot.spot_id in listed]
            boxes = tuple((spot.spot_id, spot.x_frac, spot.y_frac, spot.w_frac, spot.h_frac) for spot in seen)
            if boxes:
                entries.append(OverviewEntry(self.shown(one.picture), boxes))
        return entries

    def days(self, zone: str) -> set[str]:
        """The days on which pictures were taken, as far as their times are believed."""
        return {
            f"{datetime.fromtimestamp(one.taken_utc_s, ZoneInfo(zone)):%Y-%m-%d}"
            for one in self.known.values()
            if one.taken_utc_s is not None and one.time_doubt is None
        }

    def _spot(self, spot_id: int, name: str, members: list[Picture]) -> SpotEntry:
        best = max(members, key=self._telling)
        others = [one for one in members if one is not best]
        step = max(1.0, len(others) / OTHERS_SHOWN)
        few = [others[int(at * step)] for at in range(min(OTHERS_SHOWN, len(others)))]
        seen = {
            (self._end_label(pin.tag_id, pin.end), pin.tag_id)
            for one in members
            for pin in self._pins.get(one.picture_id, ())
        }
        listed = sorted(seen, key=lambda one: (sort_key(one[0]), one[1]))
        return SpotEntry(
            spot_id=spot_id,
            name=name,
            picture=self.shown(best),
            pins=tuple(self.pinned(pin) for pin in self._pins.get(best.picture_id, ())),
            tags=tuple((label, self._name(tag_id), tag_id) for label, tag_id in listed),
            others=tuple(map(self.shown, few)),
            count=len(members),
        )

    def _telling(self, picture: Picture) -> tuple[int, int, float]:
        """Most tags as found, a person's word counting twice; of equals one of known time, the oldest."""
        taken = picture.taken_utc_s
        is_told = taken is not None and picture.time_doubt is None
        said = sum(2 if isinstance(pin, Pin) else 1 for pin in self._pins.get(picture.picture_id, ()))
        return said, int(is_told), -(taken or 0.0)

    def _name(self, tag_id: int) -> str:
        return self._cards[tag_id].tag.name or self._cards[tag_id].tag.kind

    def _end_label(self, tag_id: int, end: EndLetter) -> str:
        card = self._cards[tag_id]
        return f"{card.label}{end}" if card.tag.ends > 1 else card.label

    def _as_found_pins(self) -> dict[int, list[Pin | PinProposal]]:
        """Picture to the pins on it of things that had not come off yet; a person's before the machine's."""
        store, job_id = self._archive.store, self._archive.job.job_id
        off = log.off_times_s(self._archive)
        likely = [one for one in pins.list_proposals(store, job_id) if one.confidence >= LIKELY and not one.gone]
        found: dict[int, dict[tuple[int, str], Pin | PinProposal]] = defaultdict(dict)
        both: list[Pin | PinProposal] = [*pins.list_pins(store, job_id), *likely]
        for pin in both:
            picture = self.known.get(pin.picture_id)
            off_s = off.get(pin.tag_id)
            if picture is None or taken_when(picture.taken_utc_s, off_s) == "after":
                continue
            found[pin.picture_id].setdefault((pin.tag_id, pin.end), pin)
        return {
            picture_id: sorted(on_it.values(), key=lambda pin: (sort_key(self._cards[pin.tag_id].label), pin.end))
            for picture_id, on_it in found.items()
        }


class PictureCutter:
    """Cuts windows out of pictures, as many pixels as paper can show, without any details of their making.

    Attributes
    ----------
    missing : list of str
        Names of pictures that could not be read, with the reason.
    """

    def __init__(self, archive: Archive, known: Mapping[int, Picture], told: Callable[[], None]) -> None:
        self._archive = archive
        self._known = known
        self._told = told
        self._pixels = lru_cache(maxsize=KEPT_IN_MEMORY)(self._load)
        self.missing: dict[str, str] = {}

    def cut(self, mark: PictureMark) -> bytes | None:
        """The JPEG of a mark's window; None, and a line in `missing`, when its picture cannot be read."""
        from asfound.media.thumbnails import encode_jpeg, reduce_to

        self._told()
        picture, window = self._known[mark.picture_id], mark.window
        wide = window.right - window.left
        longest = ceil(printed_px(mark.w_mm) / (wide * picture.width_px) * max(picture.width_px, picture.height_px))
        try:
            pixels = self._pixels(mark.picture_id, min(longest, max(picture.width_px, picture.height_px)))
        except (AsfoundError, OSError) as error:
            self.missing[picture.file] = str(error)
            return None
        high, across = pixels.shape[:2]
        top, bottom = int(window.top * high), max(int(window.top * high) + 1, round(window.bottom * high))
        left, right = int(window.left * across), max(int(window.left * across) + 1, round(window.right * across))
        part = pixels[top:bottom, left:right]
        most = max(printed_px(mark.w_mm), printed_px(mark.h_mm))
        return encode_jpeg(reduce_to(part.copy(), most), PRINTED_QUALITY)

    def _load(self, picture_id: int, longest_px: int) -> RgbImage:
        """From the cached preview where that is large enough: an original is ten times as much to read."""
        from asfound.media.thumbnails import PREVIEW_LEAST_PX, decode_jpeg

        source = views.source_of(self._archive, self._known[picture_id])
        if longest_px <= PREVIEW_LEAST_PX:
            return decode_jpeg(views.load_preview(self._archive, source), longest_px)
        return views.load_rgb(source, longest_px)


def count_pictures(marks: Iterable[object]) -> int:
    """How many pictures are to be printed."""
    return sum(isinstance(mark, PictureMark) for mark in marks)
