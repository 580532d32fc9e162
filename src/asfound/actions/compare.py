"""What differs between two pictures of a place: boxes to look at, never a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.actions.carrying import family_of
from asfound.core.match.carry import CarriedPin
from asfound.core.match.compare import Comparison, compare_pictures
from asfound.core.match.likeness import Likeness
from asfound.core.match.scene import Scene
from asfound.core.match.verify import verify_pair
from asfound.model.pictures import Picture
from asfound.store import pins, spots
from asfound.store.pictures import list_pictures


@dataclass(frozen=True, slots=True)
class ComparedPictures:
    """Two pictures and what seems to differ in the later one."""

    before: Picture
    after: Picture
    comparison: Comparison


def compare(archive: Archive, before: Picture, after: Picture) -> ComparedPictures:
    """Lay two pictures over each other and rank what differs, around known pins first."""
    sources = [views.source_of(archive, picture) for picture in (before, after)]
    first, second = matching.scene_pictures(archive, [before, after])
    comparison = compare_pictures(
        first,
        second,
        _likeness(archive, before, after),
        before_gray=views.load_gray(sources[0], matching.LOOK_PX),
        after_gray=views.load_gray(sources[1], matching.LOOK_PX),
        before_pins=_pins_on(archive, before),
        after_pins=_pins_on(archive, after),
        scene=_scene(archive, before, after),
    )
    return ComparedPictures(before, after, comparison)


def stored_likeness(archive: Archive, before: Picture, after: Picture) -> Likeness | None:
    """From `before` to `after` as written down by the last sort; None when it did not compare them."""
    a, b = before.picture_id, after.picture_id
    stored = matching.load_likenesses(archive, (a, b)).get((min(a, b), max(a, b)))
    return stored if stored is None or a < b else stored.reversed()


def _likeness(archive: Archive, before: Picture, after: Picture) -> Likeness:
    """From `before` to `after`: as written down by the last sort, else worked out now."""
    stored = stored_likeness(archive, before, after)
    if stored is None:
        first, second = matching.scene_pictures(archive, [before, after])
        return verify_pair(first.features, second.features)
    return stored


def _scene(archive: Archive, before: Picture, after: Picture) -> Scene | None:
    """The 3-D model of the spot that both pictures belong to; None when they share none."""
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    spot_id = spot_of.get(before.picture_id)
    if spot_id is None or spot_id != spot_of.get(after.picture_id):
        return None
    by_id = {picture.picture_id: picture for picture in list_pictures(archive.store, archive.job.job_id)}
    members = family_of(archive, by_id, [spot_id])
    likenesses = matching.load_likenesses(archive, [picture.picture_id for picture in members])
    return matching.scene_of(archive, members, matching.scene_pictures(archive, members), likenesses)


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
