"""Do two pictures show one place? Putative matches, epipolar geometry and homography, neighbour agreement."""

from __future__ import annotations

import math

import numpy as np

from asfound.core.match.arrays import BoolArray, FloatArray
from asfound.core.match.features import Features, normalised_descriptors
from asfound.core.match.first_look import is_worth_comparing
from asfound.core.match.geometry import (
    EPIPOLAR_TOLERANCE,
    HOMOGRAPHY_TOLERANCE,
    estimate_fundamental,
    estimate_homography,
    neighbours_agree,
)
from asfound.core.match.likeness import Likeness, LikenessSummary, no_likeness, pack_likeness, unpack_likeness
from asfound.core.match.local_affine import carry_locally
from asfound.core.match.pixels import Size, diagonal_px
from asfound.core.match.putative import match_descriptors

__all__ = ["Likeness", "LikenessSummary", "pack_likeness", "unpack_likeness", "verify_pair"]


def verify_pair(a: Features, b: Features, *, seed: int = 1) -> Likeness:
    """Compare two pictures by their features.

    Parameters
    ----------
    a, b : Features
        Of one method; ValueError otherwise.
    seed : int
        Of the robust estimates; the same seed gives the same likeness.

    Returns
    -------
    Likeness
        With no matches and probability 0 where nothing agrees; never raises for blank pictures. Most pairs show
        different places and are told apart at a first look, for an eighth of the cost of a whole comparison.
    """
    if a.method != b.method:
        raise ValueError(f"features of {a.method} and {b.method} cannot be compared")
    if not is_worth_comparing(a, b):
        return no_likeness("no matches")
    pairs = match_descriptors(normalised_descriptors(a), normalised_descriptors(b))
    if len(pairs) < 5:
        return no_likeness("no matches")
    points_a = a.points_px[pairs[:, 0]].astype(np.float64)
    points_b = b.points_px[pairs[:, 1]].astype(np.float64)
    diagonal = min(diagonal_px(a.size_px), diagonal_px(b.size_px))
    homography, on_plane = estimate_homography(points_a, points_b, HOMOGRAPHY_TOLERANCE * diagonal, seed=seed)
    fundamental, on_line = estimate_fundamental(points_a, points_b, EPIPOLAR_TOLERANCE * diagonal, seed=seed)
    keep = on_plane | on_line
    points_a, points_b = points_a[keep], points_b[keep]
    agrees = _agreeing(points_a, points_b, 0.01 * diagonal)
    agreeing = int(agrees.sum())
    gap, scale = _centre_gap(points_a[agrees], points_b[agrees], a.size_px, b.size_px, homography, seed)
    return Likeness(
        matches=pairs[keep],
        agrees=agrees,
        inliers=int(on_line.sum()),
        agreeing=agreeing,
        probability=probability_of(agreeing, len(pairs)),
        centre_gap=gap,
        scale_ratio=scale,
        fundamental=fundamental,
        homography=homography,
        degenerate=_degenerate(on_plane, on_line, agreeing),
    )


def probability_of(agreeing: int, putative: int) -> float:
    """Probability that two pictures with so many agreeing matches show one place.

    A logistic curve fitted to rendered bays (tests/bench/matching.py prints the fit): unrelated pictures rarely reach
    14 agreeing matches, whatever the number of putative ones.
    """
    return 1 / (1 + math.exp(-(agreeing - 14) / 2.5))


def _agreeing(points_a: FloatArray, points_b: FloatArray, floor_px: float) -> BoolArray:
    """Two rounds: the first cleans the neighbourhoods that the second judges by."""
    agrees = np.ones(len(points_a), dtype=np.bool_)
    for _ in range(2):
        index = np.flatnonzero(agrees)
        good = neighbours_agree(points_a[index], points_b[index], floor_px=floor_px)
        agrees[index[~good]] = False
    return agrees


def _centre_gap(
    points_a: FloatArray, points_b: FloatArray, size_a: Size, size_b: Size, homography: FloatArray | None, seed: int
) -> tuple[float, float]:
    """The larger of the two ways' centre distances in fractions of the diagonal, and the scale from a to b."""
    if len(points_a) < 6:
        return math.inf, 1.0
    centre_a, centre_b = (np.array([size], dtype=np.float64) / 2 for size in (size_a, size_b))
    there = carry_locally(points_a, points_b, centre_a, size_a, homography=homography, neighbours=40, seed=seed)
    back = carry_locally(points_b, points_a, centre_b, size_b, neighbours=40, seed=seed)
    gap = max(
        float(np.linalg.norm(there.places_px - centre_b)) / diagonal_px(size_b),
        float(np.linalg.norm(back.places_px - centre_a)) / diagonal_px(size_a),
    )
    scale = _median_scale(points_a, points_b)
    return (gap if math.isfinite(gap) else math.inf), scale


def _median_scale(points_a: FloatArray, points_b: FloatArray) -> float:
    """How much larger b shows things: median ratio of distances to the matches' own middle."""
    spread_a = np.median(np.linalg.norm(points_a - np.median(points_a, axis=0), axis=1))
    spread_b = np.median(np.linalg.norm(points_b - np.median(points_b, axis=0), axis=1))
    if min(spread_a, spread_b) < 1e-6:
        return 1.0
    return float(spread_b / spread_a)


def _degenerate(on_plane: BoolArray, on_line: BoolArray, agreeing: int) -> str | None:
    if agreeing < 8:
        return "too few"
    # Torr and Murray 1997: when a homography explains nearly all that lies on the lines, the lines are arbitrary.
    if on_plane.sum() > 0.9 * max(1, (on_line | on_plane).sum()):
        return "one plane"
    return None
