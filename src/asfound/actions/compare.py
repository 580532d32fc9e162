"""What differs between two pictures of a place: boxes to look at, never a verdict."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import cast

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.actions.carrying import Key, family_of, hand_pins
from asfound.actions.views import GrayImage, PictureSource
from asfound.core.fixity.digest import compute_digest
from asfound.core.match import IN_USE
from asfound.core.match.camera import focal_px_from_35mm
from asfound.core.match.carry import CarriedPin, HandPin, carry_pins
from asfound.core.match.compare import Comparison, compare_pictures
from asfound.core.match.features import detect_features
from asfound.core.match.likeness import Likeness
from asfound.core.match.reconstruct import place_in_scene
from asfound.core.match.scene import Scene, ScenePicture, empty_scene
from asfound.core.match.swapped import Swap, find_swapped
from asfound.core.match.verify import verify_pair
from asfound.core.words import plain_words
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Tag
from asfound.store import pins, spots, tags
from asfound.store.pictures import find_picture_by_digest, list_pictures

OUTSIDE_ID = -1
"""Stands for a photo outside the archive; only one of the two may be one when pins are to be known."""


@dataclass(frozen=True, slots=True)
class ComparedPictures:
    """Two pictures and what seems to differ in the later one.

    Attributes
    ----------
    before, after : Picture or Path
        As they were asked for.
    before_source, after_source : PictureSource
        Where their pixels come from.
    named : dict
        The tag and end of every key that the comparison names.
    swapped : tuple of Swap
        Look-alikes that may be on each other's joints, likeliest first.
    """

    before: Picture | Path
    after: Picture | Path
    before_source: PictureSource
    after_source: PictureSource
    comparison: Comparison
    named: dict[Hashable, tuple[Tag, EndLetter]]
    swapped: tuple[Swap, ...] = ()


@dataclass(frozen=True, eq=False, slots=True)
class _Side:
    """One of the two pictures, in the archive or not."""

    picture: Picture | Path
    source: PictureSource
    shown: ScenePicture


def compare(archive: Archive, before: Picture | Path, after: Picture | Path) -> ComparedPictures:
    """Lay two pictures over each other and rank what differs, around known pins first.

    Parameters
    ----------
    before, after : Picture or Path
        A picture of the archive, or a photo outside it, which nothing is written down about.
    """
    first, second = _side(archive, before, OUTSIDE_ID), _side(archive, after, OUTSIDE_ID - 1)
    likeness = _likeness(archive, first, second)
    scene, members, shown = _scene(archive, first, second)
    for side in (first, second):
        if isinstance(side.picture, Path) and len(scene.picture_ids):
            scene = place_in_scene(scene, shown, side.shown) or scene
            shown = [*shown, side.shown]
    sides = (first, second)
    known = [
        _pins_on(archive, side.picture)
        if isinstance(side.picture, Picture)
        else _pins_in_photo(archive, side, other, members, scene, likeness if side is second else likeness.reversed())
        for side, other in zip(sides, sides[::-1], strict=True)
    ]
    comparison = compare_pictures(
        first.shown,
        second.shown,
        likeness,
        before_rgb=views.load_rgb(first.source, matching.LOOK_PX),
        after_rgb=views.load_rgb(second.source, matching.LOOK_PX),
        before_pins=known[0],
        after_pins=known[1],
        scene=scene,
    )
    named = _named(archive, comparison)
    swapped = find_swapped(
        comparison.joints,
        lambda one, other: _fit_each_other(named[one][0], named[other][0]),
        size_px=second.shown.features.size_px,
    )
    return ComparedPictures(before, after, first.source, second.source, comparison, named, tuple(swapped))


def stored_likeness(archive: Archive, before: Picture, after: Picture) -> Likeness | None:
    """From `before` to `after` as written down by the last sort; None when it did not compare them."""
    a, b = before.picture_id, after.picture_id
    stored = matching.load_likenesses(archive, (a, b)).get((min(a, b), max(a, b)))
    return stored if stored is None or a < b else stored.reversed()


def kept_picture(archive: Archive, path: Path) -> Picture | None:
    """The picture of the job that is a file's very bytes; None when the archive does not hold them."""
    return find_picture_by_digest(archive.store, archive.job.job_id, compute_digest(path.read_bytes()))


def _side(archive: Archive, picture: Picture | Path, outside_id: int) -> _Side:
    if isinstance(picture, Picture):
        return _Side(picture, views.source_of(archive, picture), matching.scene_pictures(archive, [picture])[0])
    from asfound.media.opening import read_details

    source = PictureSource("", picture, None)
    with views.naming_refused(picture):
        focal_35mm = read_details(picture).capture.focal_35mm
        features = detect_features(views.load_gray(source, matching.LOOK_PX), method=IN_USE)
    focal_px = focal_px_from_35mm(focal_35mm, features.size_px)
    return _Side(picture, source, ScenePicture(outside_id, features, focal_px))


def _likeness(archive: Archive, first: _Side, second: _Side) -> Likeness:
    """As written down by the last sort, else worked out now."""
    stored = None
    if isinstance(first.picture, Picture) and isinstance(second.picture, Picture):
        stored = stored_likeness(archive, first.picture, second.picture)
    return verify_pair(first.shown.features, second.shown.features) if stored is None else stored


def _scene(archive: Archive, first: _Side, second: _Side) -> tuple[Scene, list[Picture], list[ScenePicture]]:
    """The 3-D model of the spot that the pictures of the archive among the two belong to, and that spot's pictures."""
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    kept = [side.picture.picture_id for side in (first, second) if isinstance(side.picture, Picture)]
    wanted = {spot_of.get(picture_id) for picture_id in kept}
    if len(wanted) != 1 or (spot_id := wanted.pop()) is None:
        return empty_scene(), [], []
    by_id = {picture.picture_id: picture for picture in list_pictures(archive.store, archive.job.job_id)}
    members = matching.with_originals(archive, family_of(archive, by_id, [spot_id]))
    likenesses = matching.load_likenesses(archive, [picture.picture_id for picture in members])
    shown = matching.scene_pictures(archive, members)
    return matching.scene_of(archive, members, shown, likenesses), members, shown


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


def _pins_in_photo(
    archive: Archive, photo: _Side, other: _Side, members: list[Picture], scene: Scene, likeness: Likeness
) -> list[CarriedPin]:
    """The pins of the spot carried into a photo outside the archive, by the scene or from the other picture.

    `likeness` is from the other picture to the photo.
    """
    mine_id = photo.shown.picture_id
    if scene.row_of(mine_id) is None:
        if not isinstance(other.picture, Picture):
            return []
        here = [HandPin(p.key, p.picture_id, p.x_frac, p.y_frac) for p in _pins_on(archive, other.picture)]
        pair = {(other.shown.picture_id, mine_id): likeness}
        loaders = {side.shown.picture_id: side.source for side in (photo, other)}
        return carry_pins(
            here,
            [other.shown, photo.shown],
            pair,
            load_gray=lambda picture_id: views.load_gray(loaders[picture_id], matching.LOOK_PX),
            scene=empty_scene(),
            onto=[mine_id],
        )
    ids = {picture.picture_id for picture in members}
    hand = hand_pins(pin for pin in pins.list_pins(archive.store, archive.job.job_id) if pin.picture_id in ids)
    load = matching.gray_loader(archive, members)

    @lru_cache(maxsize=4)
    def load_gray(picture_id: int) -> GrayImage:
        return views.load_gray(photo.source, matching.LOOK_PX) if picture_id == mine_id else load(picture_id)

    return carry_pins(
        hand,
        [*matching.scene_pictures(archive, members), photo.shown],
        {},
        load_gray=load_gray,
        scene=scene,
        onto=[mine_id],
    )


def _named(archive: Archive, comparison: Comparison) -> dict[Hashable, tuple[Tag, EndLetter]]:
    known = {tag.tag_id: tag for tag in tags.list_tags(archive.store, archive.job.job_id)}
    keys = {key for difference in comparison.differences for key in difference.near_keys}
    keys |= {joint.key for joint in comparison.joints}
    return {key: (known[tag_id], end) for key in keys for tag_id, end in [cast(Key, key)]}


def _fit_each_other(one: Tag, other: Tag) -> bool:
    """Whether two things could be taken for each other: of one kind, and no sizes that say otherwise."""
    sizes = {plain_words(tag.size) for tag in (one, other) if tag.size.strip()}
    return one.tag_id != other.tag_id and one.kind == other.kind and len(sizes) < 2
