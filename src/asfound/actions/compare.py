"""What differs between two pictures of a place: boxes to look at, never a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.core.match.carry import CarriedPin
from asfound.core.match.compare import Comparison, compare_pictures
from asfound.core.match.likeness import Likeness
from asfound.core.match.verify import verify_pair
from asfound.model.pictures import Picture
from asfound.store import pins


@dataclass(frozen=True, slots=True)
class ComparedPictures:
    """Two pictures and what seems to differ in the later one."""

    before: Picture
    after: Picture
    comparison: Comparison


def compare(archive: Archive, before: Picture, after: Picture) -> ComparedPictures:
    """Lay two pictures over each other and rank what differs, around known pins first."""
    first, second = matching.scene_pictures(archive, [before, after])
    comparison = compare_pictures(
        first,
        second,
        _likeness(archive, before, after),
        before_gray=views.load_gray(views.source_of(archive, before), matching.LOOK_PX),
        after_gray=views.load_gray(views.source_of(archive, after), matching.LOOK_PX),
        before_pins=_pins_on(archive, before),
        after_pins=_pins_on(archive, after),
    )
    return ComparedPictures(before, after, comparison)


def _likeness(archive: Archive, before: Picture, after: Picture) -> Likeness:
    """From `before` to `after`: as written down by the last sort, else worked out now."""
    a, b = before.picture_id, after.picture_id
    stored = matching.load_likenesses(archive, (a, b)).get((min(a, b), max(a, b)))
    if stored is None:
        first, second = matching.scene_pictures(archive, [before, after])
        return verify_pair(first.features, second.features)
    return stored if a < b else stored.reversed()


def _pins_on(archive: Archive, picture: Picture) -> list[CarriedPin]:
    """Pins of a picture as sure ones, then its proposals."""
    known = [
        CarriedPin((p.tag_id, p.end), p.picture_id, p.x_frac, p.y_frac, p.w_frac, p.h_frac, 1.0, True, "near")
        for p in pins.pins_on_picture(archive.store, picture.picture_id)
    ]
    proposed = [
        CarriedPin(
            (p.tag_id, p.end), p.picture_id, p.x_frac, p.y_frac, p.w_frac, p.h_frac, p.confidence, True, "depth", p.gone
        )
        for p in pins.proposals_on_picture(archive.store, picture.picture_id)
    ]
    return known + proposed
