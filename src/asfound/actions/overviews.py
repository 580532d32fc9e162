"""Where the spots lie on the machine: overview pictures with every spot that is seen on them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from asfound.actions import matching, views
from asfound.actions.archive import Archive, kept
from asfound.core.match.pixels import frac_from_px
from asfound.model.pictures import Picture
from asfound.store import spots
from asfound.store.pictures import list_pictures

SURE = 0.75
"""Probability from which two pictures show one place here: a wrong mark sends a person to the wrong end."""

FARTHER = 1.25
"""How much larger a spot's own picture must show things than an overview does."""

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


@kept
def list_overviews(archive: Archive) -> Sequence[Overview]:
    """The fewest pictures on which every spot lies that lies on any other picture; the one with most spots first."""
    job_id = archive.job.job_id
    known = {picture.picture_id: picture for picture in list_pictures(archive.store, job_id)}
    members = {spot.spot_id: spot.picture_ids for spot in spots.list_spots(archive.store, job_id)}
    seen = _seen_spots(archive)
    shown: set[int] = set()
    found = []
    while seen:
        # Of pictures that add as many spots, the one that shows most altogether, then the oldest.
        best = max(seen, key=lambda i: (len(seen[i] - shown), len(seen[i]), -(known[i].taken_utc_s or 0.0)))
        if not seen[best] - shown:
            break
        wanted = seen.pop(best)
        placed = [_place_of(archive, known[best], spot_id, members.get(spot_id, ())) for spot_id in sorted(wanted)]
        found.append(Overview(known[best], tuple(place for place in placed if place is not None)))
        shown |= wanted
    return [overview for overview in found if overview.spots]


def _seen_spots(archive: Archive) -> dict[int, set[int]]:
    """Pictures on which two spots or more are seen for sure, their own among them."""
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    seen: dict[int, set[int]] = defaultdict(set)
    for one in spots.load_likenesses(archive.store, archive.job.job_id, least_agreeing=matching.ALIKE_FROM):
        if one.probability < SURE:
            continue
        for picture_id, other_id, larger in (
            (one.a_id, one.b_id, one.scale_ratio),
            (one.b_id, one.a_id, 1 / one.scale_ratio),
        ):
            # From about as near it is one more close-up, and tells nobody where on the machine it is.
            if other_id in spot_of and larger >= FARTHER:
                seen[picture_id].add(spot_of[other_id])
    return {picture_id: found for picture_id, found in seen.items() if len(found) > 1}


def _place_of(archive: Archive, overview: Picture, spot_id: int, members: tuple[int, ...]) -> SpotOnOverview | None:
    """The box that most of the matches between the overview and a spot's pictures lie in."""
    if not matching.with_originals(archive, [overview]):
        return None
    others = [picture_id for picture_id in members if picture_id != overview.picture_id]
    likenesses = matching.load_likenesses(archive, [overview.picture_id, *others])
    size, points = None, []
    for (a, b), likeness in likenesses.items():
        if overview.picture_id not in (a, b) or (a not in others and b not in others):
            continue
        if likeness.probability < SURE:
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
