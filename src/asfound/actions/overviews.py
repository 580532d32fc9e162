"""Where the spots lie on the machine: overview pictures with every spot that is seen on them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.core.match.pixels import frac_from_px
from asfound.model.pictures import Picture
from asfound.store import spots
from asfound.store.pictures import list_pictures

MIDDLE_SHARE = (15, 85)
"""Percentiles of the matching points between which a spot's box lies: a few matches always sit elsewhere."""


@dataclass(frozen=True, slots=True)
class SpotOnOverview:
    """A spot on an overview picture: centre and size of its box, in fractions; `matches` it rests on."""

    spot_id: int
    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float
    matches: int


@dataclass(frozen=True, slots=True)
class Overview:
    """A picture that shows several spots from afar, with where they lie on it."""

    picture: Picture
    spots: tuple[SpotOnOverview, ...]


def list_overviews(archive: Archive) -> list[Overview]:
    """Overview pictures by what the last sort wrote down, those that show the most spots first."""
    job_id = archive.job.job_id
    known = {picture.picture_id: picture for picture in list_pictures(archive.store, job_id)}
    members = {spot.spot_id: spot.picture_ids for spot in spots.list_spots(archive.store, job_id)}
    own = spots.load_membership(archive.store, job_id)
    found = []
    for picture_id, spot_ids in spots.load_seen_afar(archive.store, job_id).items():
        seen = dict.fromkeys((*spot_ids, *([own[picture_id]] if picture_id in own else [])))
        placed = [
            place
            for spot_id in seen
            if (place := _place_of(archive, known[picture_id], spot_id, members.get(spot_id, ()))) is not None
        ]
        if placed:
            found.append(Overview(known[picture_id], tuple(placed)))
    return sorted(found, key=lambda one: (-len(one.spots), one.picture.taken_utc_s or 0.0))


def _place_of(archive: Archive, overview: Picture, spot_id: int, members: tuple[int, ...]) -> SpotOnOverview | None:
    """The box that most of the matches between the overview and a spot's pictures lie in."""
    others = [picture_id for picture_id in members if picture_id != overview.picture_id]
    likenesses = matching.load_likenesses(archive, [overview.picture_id, *others])
    size, points = None, []
    for (a, b), likeness in likenesses.items():
        if overview.picture_id not in (a, b) or (a not in others and b not in others):
            continue
        side = 0 if a == overview.picture_id else 1
        features = matching.load_features(archive.layout, views.source_of(archive, overview))
        size = features.size_px
        points.append(features.points_px[likeness.matches[likeness.agrees][:, side]])
    if size is None:
        return None
    joined = np.concatenate(points)
    if len(joined) < matching.KEEP_DETAIL_FROM:
        return None
    low, high = np.percentile(frac_from_px(joined, size), MIDDLE_SHARE, axis=0).clip(0, 1)
    width, height = np.maximum(high - low, 0.02)
    x, y = (low + high) / 2
    return SpotOnOverview(spot_id, float(x), float(y), float(width), float(height), len(joined))
