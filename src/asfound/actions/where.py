"""Where is this? Find the originals of any photo and draw the known pins on it."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import cast

import numpy as np

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.actions.carrying import Key, family_of, hand_pins
from asfound.actions.sort import METHOD
from asfound.actions.views import GrayImage, PictureSource
from asfound.core.match.camera import focal_px_from_35mm
from asfound.core.match.carry import CarriedPin
from asfound.core.match.features import Features
from asfound.core.match.place import describe_place
from asfound.core.match.query import (
    QUERY_ID,
    Original,
    carry_to_query,
    describe_query,
    is_settled,
    place_query,
    rank_compared,
    rank_placed,
)
from asfound.core.match.scene import Scene, ScenePicture
from asfound.errors import Refused
from asfound.model.pictures import Picture
from asfound.model.tags import EndLetter, Tag
from asfound.store import pins, spots, tags
from asfound.store.pictures import list_pictures

ANSWERS = 5
MOST_SCENES = 8
"""The photo is tried in the scenes of so many spots, those with the picture most like it by place vector first."""
MOST_COMPARED = 20
"""When no scene takes it in, it is compared with so many pictures, the likest first: one of them may show it in a light
in which no scene does."""


@dataclass(frozen=True, slots=True)
class DrawnTag:
    """A tag end at a place of the photo that was asked about, in fractions of it as displayed."""

    tag: Tag
    end: EndLetter
    x_frac: float
    y_frac: float
    confidence: float


@dataclass(frozen=True, slots=True)
class WhereAnswer:
    """A picture of the archive that looks like the photo, with the tags to be seen in the photo."""

    picture: Picture
    spot_id: int | None
    inliers: int
    score: float
    tags: tuple[DrawnTag, ...]


def find_place(archive: Archive, photo: Path | Picture) -> list[WhereAnswer]:
    """Pictures that show what a photo shows, best first; empty when nothing looks like it.

    Parameters
    ----------
    photo : Path or Picture
        A file outside the archive, or a picture in it, which is not among its own answers.
    """
    source, focal_35mm = _source(archive, photo)
    query = describe_query(views.load_gray(source, matching.LOOK_PX), method=METHOD)
    by_id = {p.picture_id: p for p in list_pictures(archive.store, archive.job.job_id)}
    itself = photo.picture_id if isinstance(photo, Picture) else None
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    likely = [i for i in _by_likeness(archive, query) if i != itself and i in by_id]
    spot_ids = list(dict.fromkeys(spot_of[i] for i in likely if i in spot_of))[:MOST_SCENES]
    families = {spot_id: family_of(archive, by_id, [spot_id]) for spot_id in spot_ids}
    focal_px = None if focal_35mm is None else focal_px_from_35mm(focal_35mm, query[0].size_px)
    placed, scenes = _place(archive, query, focal_px, families)
    originals = rank_placed(placed)
    if not originals:
        likest = [by_id[i] for i in likely[:MOST_COMPARED]]
        originals = rank_compared(query, matching.scene_pictures(archive, likest))
    originals = [found for found in originals if found.picture_id != itself][:ANSWERS]
    for spot_id in {spot_of[found.picture_id] for found in originals if found.picture_id in spot_of} - scenes.keys():
        families[spot_id] = family_of(archive, by_id, [spot_id])
        scenes[spot_id] = _scene(archive, families[spot_id])[0]
    drawn = _draw(archive, source, query, focal_px, originals, families, scenes, spot_of)
    return [
        WhereAnswer(
            picture=by_id[found.picture_id],
            spot_id=spot_of.get(found.picture_id),
            inliers=found.likeness.agreeing,
            score=found.probability,
            tags=drawn,
        )
        for found in originals
    ]


def _source(archive: Archive, photo: Path | Picture) -> tuple[PictureSource, float | None]:
    if isinstance(photo, Picture):
        return views.source_of(archive, photo), photo.focal_35mm
    from asfound.media.opening import read_details

    try:
        return PictureSource("", photo, None), read_details(photo).capture.focal_35mm
    except Refused as refusal:
        raise type(refusal)(f"{photo}: {refusal}; name a photo.") from refusal


def _by_likeness(archive: Archive, query: tuple[Features, ...]) -> list[int]:
    """Picture ids, the ones whose place is most like the photo's at any of its sizes first."""
    ids, vectors = matching.load_place_index(archive)
    if not ids:
        return []
    likeness = np.max([vectors @ describe_place(features) for features in query], axis=0)
    return [ids[k] for k in np.argsort(-likeness, kind="stable")]


def _place(
    archive: Archive, query: tuple[Features, ...], focal_px: float | None, families: dict[int, list[Picture]]
) -> tuple[list[Original], dict[int, Scene]]:
    """Originals from the scenes of spots, and the scenes that were tried: a few at a time, until the photo settles."""
    placed: list[Original] = []
    scenes: dict[int, Scene] = {}
    with ThreadPoolExecutor(matching.THREADS) as pool:
        for start in range(0, len(families), matching.THREADS):
            spot_ids = list(families)[start : start + matching.THREADS]
            loaded = {spot_id: _scene(archive, families[spot_id]) for spot_id in spot_ids}
            for found in pool.map(lambda each: place_query(query, each[0], each[1], focal_px), loaded.values()):
                placed += found
            scenes.update((spot_id, scene) for spot_id, (scene, _) in loaded.items())
            if is_settled(placed):
                break
    return placed, scenes


def _scene(archive: Archive, members: list[Picture]) -> tuple[Scene, list[ScenePicture]]:
    """The 3-D model of a spot, and its pictures."""
    shown = matching.scene_pictures(archive, members)
    likenesses = matching.load_likenesses(archive, [picture.picture_id for picture in members])
    return matching.scene_of(archive, members, shown, likenesses), shown


def _draw(
    archive: Archive,
    source: PictureSource,
    query: tuple[Features, ...],
    focal_px: float | None,
    originals: list[Original],
    families: dict[int, list[Picture]],
    scenes: dict[int, Scene],
    spot_of: dict[int, int],
) -> tuple[DrawnTag, ...]:
    """The pins of the originals' spots, carried into the photo, surest first."""
    wanted = dict.fromkeys(spot_of[found.picture_id] for found in originals if found.picture_id in spot_of)
    members = [picture for spot_id in wanted for picture in families[spot_id]]
    ids = {picture.picture_id for picture in members}
    mine = [pin for pin in pins.list_pins(archive.store, archive.job.job_id) if pin.picture_id in ids]
    if not mine:
        return ()
    load = matching.gray_loader(archive, members)

    @lru_cache(maxsize=4)
    def load_gray(picture_id: int) -> GrayImage:
        return views.load_gray(source, matching.LOOK_PX) if picture_id == QUERY_ID else load(picture_id)

    carried = carry_to_query(
        hand_pins(mine),
        query,
        focal_px,
        originals,
        matching.scene_pictures(archive, members),
        matching.load_likenesses(archive, ids),
        load_gray=load_gray,
        scenes=[scenes[spot_id] for spot_id in wanted],
    )
    known = {tag.tag_id: tag for tag in tags.list_tags(archive.store, archive.job.job_id)}
    inside = [pin for pin in carried if pin.inside]
    return tuple(_drawn(known, pin) for pin in sorted(inside, key=lambda pin: -pin.confidence))


def _drawn(known: dict[int, Tag], pin: CarriedPin) -> DrawnTag:
    tag_id, end = cast(Key, pin.key)
    return DrawnTag(known[tag_id], end, pin.x_frac, pin.y_frac, pin.confidence)
