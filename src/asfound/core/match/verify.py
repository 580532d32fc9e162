"""Do two pictures show one place? Putative matches, epipolar geometry and homography, neighbour agreement."""

from __future__ import annotations

import math

import numpy as np

from asfound.core.match.arrays import BoolArray, ComplexArray, FloatArray, IntArray
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
LEAST_AGREEING = 8
"""Fewer agreeing matches than this say nothing."""
# Logarithm of the odds that two pictures show one place: a constant, and what the logarithms of the cells that hold
# agreeing matches and of the matches along their similarity to those astray add. docs/decisions/0038.
ODDS, ODDS_SPREAD, ODDS_ALONG = 1.5, 2.9, 0.85
CELLS = 8
"""Cells to a side of a picture."""
ALONG = 0.08
"""How near the similarity of the agreeing matches a match lies that goes along, in fractions of the diagonal."""

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
    all_a, all_b = points_a, points_b
    points_a, points_b = points_a[keep], points_b[keep]
    agrees = _agreeing(points_a, points_b, 0.01 * diagonal)
    agreeing = int(agrees.sum())
    similarity = _similarity(points_a[agrees], points_b[agrees], a.size_px, b.size_px)
    gap = _centre_gap(similarity, a.size_px, b.size_px)
    scale = _growth(a, b, pairs[keep][agrees])
    probability = 0.0
    if similarity is not None and agreeing >= LEAST_AGREEING:
        cells = [_cells_held(points_a[agrees], a.size_px), _cells_held(points_b[agrees], b.size_px)]
        probability = probability_of(
            math.sqrt(math.prod(cells)), *_along(similarity, all_a, all_b, a.size_px, b.size_px)
        )
    return Likeness(
        matches=pairs[keep],
        agrees=agrees,
        inliers=int(on_line.sum()),
        agreeing=agreeing,
        probability=probability,
        centre_gap=gap,
        scale_ratio=scale,
        fundamental=fundamental,
        homography=homography,
        degenerate=_degenerate(on_plane, on_line, agreeing),
    )


def probability_of(cells: float, along: int, astray: int) -> float:
    """Probability that two pictures of a machine, with `LEAST_AGREEING` agreeing matches or more, show one place.

    What tells equal units apart is less how many matches agree than how far over both pictures they spread, and how
    many other matches of the shared view go elsewhere: two equal units share matches on themselves alone.

    Parameters
    ----------
    cells : float
        Cells of an 8 by 8 net that hold agreeing matches, the geometric mean of both pictures.
    along, astray : int
        Of all matches that start in the shared view, those that go along with the agreeing ones, and the others.
    """
    odds = ODDS + ODDS_SPREAD * math.log(max(cells, 1.0) / CELLS) + ODDS_ALONG * math.log((along + 1) / (astray + 1))
    return 1 / (1 + math.exp(-odds))


def _agreeing(points_a: FloatArray, points_b: FloatArray, floor_px: float) -> BoolArray:
    """Two rounds: the first cleans the neighbourhoods that the second judges by."""
    agrees = np.ones(len(points_a), dtype=np.bool_)
    for _ in range(2):
        index = np.flatnonzero(agrees)
        good = neighbours_agree(points_a[index], points_b[index], floor_px=floor_px)
        agrees[index[~good]] = False
    return agrees


def _similarity(
    points_a: FloatArray, points_b: FloatArray, size_a: Size, size_b: Size
) -> tuple[complex, complex] | None:
    """The least-squares similarity of all agreeing matches (Umeyama, PAMI 13, 1991), as z to first * z + second.

    Points are complex numbers from the pictures' middles. The scale is taken as the ratio of spreads, so that both ways
    are each other's inverse. Being one for the whole picture it is steadier than a local map where matches lie at one
    side only, as they do between neighbouring spots.
    """
    if len(points_a) < 6:
        return None
    from_a, from_b = _from_middle(points_a, size_a), _from_middle(points_b, size_b)
    middle_a, middle_b = from_a.mean(), from_b.mean()
    spread_a, spread_b = np.linalg.norm(from_a - middle_a), np.linalg.norm(from_b - middle_b)
    turn = np.vdot(from_a - middle_a, from_b - middle_b)
    if min(spread_a, spread_b, abs(turn)) < 1e-6:
        return None
    factor = complex(spread_b / spread_a * turn / abs(turn))
    return factor, complex(middle_b - factor * middle_a)


def _from_middle(points_px: FloatArray, size: Size) -> ComplexArray:
    return np.asarray((points_px - np.array(size) / 2) @ AS_COMPLEX)


def _centre_gap(similarity: tuple[complex, complex] | None, size_a: Size, size_b: Size) -> float:
    """The larger of the two ways' centre distances in fractions of the diagonal."""
    if similarity is None:
        return math.inf
    factor, shift = similarity
    return max(abs(shift) / diagonal_px(size_b), abs(shift / factor) / diagonal_px(size_a))


def _growth(a: Features, b: Features, pairs: IntArray) -> float:
    """How much larger things are in b, by the diameters of matching keypoints; 1 without any.

    Where pictures are taken from afar and from near, the spread of the matches tells too little: wrong ones among them
    draw it to one (docs/decisions/0042).
    """
    if not len(pairs):
        return 1.0
    before, after = (np.maximum(scales, 1e-3) for scales in (a.scales[pairs[:, 0]], b.scales[pairs[:, 1]]))
    return float(2 ** np.median(np.log2(after / before)))


def _along(
    similarity: tuple[complex, complex], points_a: FloatArray, points_b: FloatArray, size_a: Size, size_b: Size
) -> tuple[int, int]:
    """Of matches (n, 2) that start where the similarity leads into b, how many go along with it, and how many not."""
    factor, shift = similarity
    expected = factor * _from_middle(points_a, size_a) + shift
    shared = (np.abs(expected.real) <= size_b[0] / 2) & (np.abs(expected.imag) <= size_b[1] / 2)
    along = shared & (np.abs(expected - _from_middle(points_b, size_b)) < ALONG * diagonal_px(size_b))
    return int(along.sum()), int(shared.sum() - along.sum())


def _cells_held(points_px: FloatArray, size: Size) -> int:
    """Cells of a picture that hold a point."""
    cells = np.clip((points_px / np.array(size) * CELLS).astype(int), 0, CELLS - 1)
    return len(np.unique(cells[:, 0] * CELLS + cells[:, 1]))


def _degenerate(on_plane: BoolArray, on_line: BoolArray, agreeing: int) -> str | None:
    if agreeing < LEAST_AGREEING:
        return "too few"
    # Torr and Murray 1997: when a homography explains nearly all that lies on the lines, the lines are arbitrary.
    if on_plane.sum() > 0.9 * max(1, (on_line | on_plane).sum()):
        return "one plane"
    return None
