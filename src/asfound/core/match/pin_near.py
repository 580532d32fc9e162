"""Where a pin lies by the matches around it: those that move with its neighbourhood, whatever else moves otherwise."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray
from asfound.core.match.belief import CARRIED_NEAR
from asfound.core.match.features import Features
from asfound.core.match.likeness import Likeness
from asfound.core.match.local_affine import LEAST_MATCHES, carry_locally
from asfound.core.match.pixels import diagonal_px

VOTERS = 8
"""The nearest matches that tell by which group a pin is carried. Chosen by hand; not measured."""
SOFTENING = 0.01
"""Added to a match's distance, in diagonals, before it weighs by the inverse of it. Chosen by hand; not measured."""
CLOSE = 0.05
"""Where the fourth match lies as near as this, in diagonals, matches speak for the pin's own neighbourhood: of 349 pins
so placed that depth put elsewhere by 5 % and more 344 were right, and 3 by depth (docs/decisions/0045)."""
LEAST_TOLD = 1e-3
"""Guards the logarithms of what is measured."""


@dataclass(frozen=True, eq=False)
class NearPlace:
    """Where a pin lies in another picture.

    Attributes
    ----------
    place_px : ndarray of shape (2,), float64
    linear : ndarray of shape (2, 2), float64
        How a small step around the pin turns into one there.
    nearest : float
        Distance to the fourth nearest match of the pin's group, in diagonals.
    spread : float
        How far the nearest ones miss the map, in diagonals, as in `LocalMaps`.
    """

    place_px: FloatArray
    linear: FloatArray
    nearest: float
    spread: float

    @property
    def is_close(self) -> bool:
        """Whether matches lie all around the pin's own place."""
        return self.nearest < CLOSE

    @property
    def confidence(self) -> float:
        """Probability that the place is right within 5 % of the diagonal."""
        return CARRIED_NEAR.at(*near_measures(self.nearest, self.spread))


def near_measures(nearest: float, spread: float) -> tuple[float, float]:
    """What `belief.CARRIED_NEAR` goes by."""
    return math.log(max(nearest, LEAST_TOLD)), math.log(max(spread, LEAST_TOLD))


def place_by_matches(
    pin_px: FloatArray, source: Features, target: Features, likeness: Likeness, *, seed: int
) -> NearPlace | None:
    """Where a pin (2,) of `source` lies in `target`; None where no group has matches enough.

    `likeness` leads from the one to the other. The pin goes with the group of matches that holds its neighbourhood.
    """
    groups = [likeness.matches[likeness.agrees], *likeness.further]
    starts = [source.points_px[group[:, 0]].astype(np.float64) for group in groups]
    mine = _group_around(pin_px, starts, diagonal_px(source.size_px))
    if len(starts[mine]) < LEAST_MATCHES:
        return None
    ends = target.points_px[groups[mine][:, 1]].astype(np.float64)
    homography = None if mine else likeness.homography
    maps = carry_locally(starts[mine], ends, pin_px[None], source.size_px, homography=homography, seed=seed)
    return NearPlace(maps.places_px[0], maps.linear[0], float(maps.nearest[0]), float(maps.spread[0]))


def _group_around(pin_px: FloatArray, starts: list[FloatArray], diagonal: float) -> int:
    """Which group has most of the nearest matches, the nearer weighing more; of equals the first."""
    away = [np.linalg.norm(points - pin_px, axis=1) / diagonal for points in starts]
    distance = np.concatenate(away)
    group = np.concatenate([np.full(len(each), k) for k, each in enumerate(away)])
    near = np.argsort(distance, kind="stable")[:VOTERS]
    votes = np.bincount(group[near], weights=1 / (distance[near] + SOFTENING), minlength=len(starts))
    return int(votes.argmax())
