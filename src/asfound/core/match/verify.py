"""Do two pictures show one place? Putative matches, epipolar geometry and homography, neighbour agreement."""

from __future__ import annotations

import math

import numpy as np

from asfound.core.match.arrays import ComplexArray, IntArray
from asfound.core.match.belief import ONE_PLACE
from asfound.core.match.features import Features, normalised_descriptors
from asfound.core.match.first_look import is_worth_comparing
from asfound.core.match.geometry import LEAST_FOR_HOMOGRAPHY
from asfound.core.match.likeness import Likeness, LikenessSummary, no_likeness, pack_likeness, unpack_likeness
from asfound.core.match.middle import LEAST_SHARE, middle_share
from asfound.core.match.motions import CELLS, Motion, by_aim, find_motions
from asfound.core.match.pixels import cells_held, diagonal_px, frac_from_px, from_middle
from asfound.core.match.putative import match_descriptors
from asfound.core.match.similarity_votes import AS_COMPLEX, LEAST_DIAMETER_PX

LEAST_AGREEING = 8
"""Fewer agreeing matches than this say nothing."""
LEAST_FOR_SIMILARITY = 6
"""Fewer matches give no similarity: chosen by hand; not measured."""
LEAST_SPREAD_PX = 1e-6
"""Matches that lie in one point give no similarity."""
ONE_PLANE = 0.9
"""Share of the matches on their lines that a homography explains when depth cannot be had. Chosen by hand; not
measured."""
ALONG = 0.08
"""How near the similarity of the agreeing matches a match lies that goes along, in fractions of the diagonal; in use
when the curve was fitted."""

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
    if len(pairs) < LEAST_FOR_HOMOGRAPHY:
        return no_likeness("no matches")
    points_a = a.points_px[pairs[:, 0]].astype(np.float64)
    points_b = b.points_px[pairs[:, 1]].astype(np.float64)
    diagonal = min(diagonal_px(a.size_px), diagonal_px(b.size_px))
    found = find_motions(points_a, points_b, diagonal, seed=seed)
    first, *others = by_aim(found, (points_a, points_b), (a.size_px, b.size_px))
    together = pairs[first.members]
    agreeing = len(together)
    measured = measure_pair(a, b, together, pairs) if agreeing >= LEAST_AGREEING else None
    return Likeness(
        matches=pairs[first.fitting],
        agrees=np.isin(first.fitting, first.members),
        inliers=first.inliers,
        agreeing=agreeing,
        probability=0.0 if measured is None else ONE_PLACE.at(*measured),
        centre_gap=_centre_gap(a, b, together),
        scale_ratio=_growth(a, b, together),
        fundamental=first.fundamental,
        homography=first.homography,
        degenerate=_degenerate(first, agreeing),
        further=tuple(pairs[motion.members] for motion in others),
    )


def measure_pair(a: Features, b: Features, agreeing: IntArray, pairs: IntArray) -> tuple[float, float] | None:
    """What `belief.ONE_PLACE` goes by, of agreeing matches (k, 2) among all putative ones (n, 2); None without a view.

    What tells equal units apart is less how many matches agree than how far over both pictures they spread, and how
    many other matches of the shared view go elsewhere: two equal units share matches on themselves alone.
    """
    similarity = _similarity(a, b, agreeing)
    if similarity is None:
        return None
    held = [
        cells_held(frac_from_px(picture.points_px[index].astype(np.float64), picture.size_px), CELLS)
        for picture, index in ((a, agreeing[:, 0]), (b, agreeing[:, 1]))
    ]
    return place_measures(math.sqrt(math.prod(held)), *_along(similarity, a, b, pairs))


def place_measures(cells: float, along: int, astray: int) -> tuple[float, float]:
    """The logarithms that `belief.ONE_PLACE` goes by.

    Parameters
    ----------
    cells : float
        Cells of a net of `CELLS` by `CELLS` that hold agreeing matches, the geometric mean of both pictures.
    along, astray : int
        Of all matches that start in the shared view, those that go along with the agreeing ones, and the others. One
        more of each keeps the logarithm finite.
    """
    return math.log(max(cells, 1.0) / CELLS), math.log((along + 1) / (astray + 1))


def _similarity(a: Features, b: Features, pairs: IntArray) -> tuple[complex, complex] | None:
    """The least-squares similarity of agreeing matches (k, 2) (Umeyama, PAMI 13, 1991), as z to first * z + second.

    Points are complex numbers from the pictures' middles. The scale is taken as the ratio of spreads, so that both ways
    are each other's inverse. Being one for the whole picture it is steadier than a local map where matches lie at one
    side only, as they do between neighbouring spots.
    """
    if len(pairs) < LEAST_FOR_SIMILARITY:
        return None
    from_a, from_b = _from_middle(a, pairs[:, 0]), _from_middle(b, pairs[:, 1])
    middle_a, middle_b = from_a.mean(), from_b.mean()
    spread_a, spread_b = np.linalg.norm(from_a - middle_a), np.linalg.norm(from_b - middle_b)
    turn = np.vdot(from_a - middle_a, from_b - middle_b)
    if min(spread_a, spread_b, abs(turn)) < LEAST_SPREAD_PX:
        return None
    factor = complex(spread_b / spread_a * turn / abs(turn))
    return factor, complex(middle_b - factor * middle_a)


def _from_middle(picture: Features, index: IntArray) -> ComplexArray:
    """Keypoints as complex numbers, x + iy in pixels from the middle of the picture, shape (k,)."""
    return np.asarray(from_middle(picture.points_px[index], picture.size_px) @ AS_COMPLEX)


def _centre_gap(a: Features, b: Features, pairs: IntArray) -> float:
    """The larger of the two ways' centre distances in fractions of the diagonal.

    Infinite where what agrees leaves out what either picture aims at: pictures of two things before one wall agree on
    the wall, and a similarity of the wall says nothing of the things.
    """
    similarity = _similarity(a, b, pairs)
    if similarity is None or min(_middle_share(a, pairs[:, 0]), _middle_share(b, pairs[:, 1])) < LEAST_SHARE:
        return math.inf
    factor, shift = similarity
    return max(abs(shift) / diagonal_px(b.size_px), abs(shift / factor) / diagonal_px(a.size_px))


def _middle_share(picture: Features, index: IntArray) -> float:
    """How much of a picture's middle agrees, by the keypoints that do."""
    places = frac_from_px(picture.points_px, picture.size_px)
    return middle_share(places[index], places)


def _growth(a: Features, b: Features, pairs: IntArray) -> float:
    """How much larger things are in b, by the diameters of matching keypoints; 1 without any.

    Where pictures are taken from afar and from near, the spread of the matches tells too little: wrong ones among them
    draw it to one (docs/decisions/0042).
    """
    if not len(pairs):
        return 1.0
    before, after = (np.maximum(scales, LEAST_DIAMETER_PX) for scales in (a.scales[pairs[:, 0]], b.scales[pairs[:, 1]]))
    return float(2 ** np.median(np.log2(after / before)))


def _along(similarity: tuple[complex, complex], a: Features, b: Features, pairs: IntArray) -> tuple[int, int]:
    """Of matches (n, 2) that start where the similarity leads into b, how many go along with it, and how many not."""
    factor, shift = similarity
    expected = factor * _from_middle(a, pairs[:, 0]) + shift
    shared = (np.abs(expected.real) <= b.size_px[0] / 2) & (np.abs(expected.imag) <= b.size_px[1] / 2)
    along = shared & (np.abs(expected - _from_middle(b, pairs[:, 1])) < ALONG * diagonal_px(b.size_px))
    return int(along.sum()), int(shared.sum() - along.sum())


def _degenerate(motion: Motion, agreeing: int) -> str | None:
    """Why depth cannot be had from what moves together, None where it can."""
    if agreeing < LEAST_AGREEING:
        return "too few"
    # Torr and Murray 1997: when a homography explains nearly all that lies on the lines, the lines are arbitrary.
    if motion.on_plane > ONE_PLANE * max(1, len(motion.fitting)):
        return "one plane"
    return None
