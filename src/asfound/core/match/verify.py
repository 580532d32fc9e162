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
from asfound.core.match.pixels import Size, diagonal_px
from asfound.core.match.putative import match_descriptors

AS_COMPLEX = np.array([1, 1j])

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
    gap, scale = _centre_gap(points_a[agrees], points_b[agrees], a.size_px, b.size_px)
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

    A logistic curve about 14 agreeing matches, hardly reached by pictures of different machines, whatever the number of
    putative ones. Equal units of one machine reach far more: see the reliability in docs/measured.md.
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


def _centre_gap(points_a: FloatArray, points_b: FloatArray, size_a: Size, size_b: Size) -> tuple[float, float]:
    """The larger of the two ways' centre distances in fractions of the diagonal, and the scale from a to b.

    Both centres go through the least-squares similarity of all agreeing matches (Umeyama, PAMI 13, 1991), with the
    scale taken as the ratio of spreads so that both ways are each other's inverse. Being one for the whole picture it
    is steadier than a local map where matches lie at one side only, as they do between neighbouring spots.
    """
    if len(points_a) < 6:
        return math.inf, 1.0
    # As complex numbers a similarity is one multiplication and one addition.
    from_a = (points_a - np.array(size_a) / 2) @ AS_COMPLEX
    from_b = (points_b - np.array(size_b) / 2) @ AS_COMPLEX
    middle_a, middle_b = from_a.mean(), from_b.mean()
    spread_a, spread_b = np.linalg.norm(from_a - middle_a), np.linalg.norm(from_b - middle_b)
    turn = np.vdot(from_a - middle_a, from_b - middle_b)
    if min(spread_a, spread_b, abs(turn)) < 1e-6:
        return math.inf, 1.0
    scale = float(spread_b / spread_a)
    factor = scale * turn / abs(turn)
    there = abs(middle_b - factor * middle_a) / diagonal_px(size_b)
    back = abs(middle_a - middle_b / factor) / diagonal_px(size_a)
    return float(max(there, back)), scale


def _degenerate(on_plane: BoolArray, on_line: BoolArray, agreeing: int) -> str | None:
    if agreeing < 8:
        return "too few"
    # Torr and Murray 1997: when a homography explains nearly all that lies on the lines, the lines are arbitrary.
    if on_plane.sum() > 0.9 * max(1, (on_line | on_plane).sum()):
        return "one plane"
    return None
