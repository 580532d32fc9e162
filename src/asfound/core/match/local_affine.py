"""Where points of one picture lie in another, judged by the matches around them.

A bay is deep, so one homography carries little more than a third of the pins; the nearest matches carry more.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from asfound.core.match.arrays import FloatArray
from asfound.core.match.geometry import apply_homography
from asfound.core.match.pixels import Size, diagonal_px

NEIGHBOURS = 16
"""Nearest matches that a map is fitted to. Chosen by hand; not measured."""
LEAST_MATCHES = 4
"""Fewer matches fit no affine map with any to spare; three fit one exactly."""
UNTOLD_SPREAD = 0.05
"""Spread, in diagonals, that is said where no map was fitted. Chosen by hand; not measured."""
STEP = 0.005
"""Length, in diagonals, over which the linear part of a homography is taken by difference. Chosen by hand; not
measured."""
OVERALL_TOLERANCE = 0.02
"""How near, in diagonals, a match lies to the one affine map of all to count for it. Chosen by hand; not measured."""
LEAST_WIDTH = 0.01
"""Least width, in diagonals, of the bell that weighs matches by their distance. Chosen by hand; not measured."""
LEAST_WEIGHT = 1e-4
"""Weight, of one, that even the farthest of the nearest matches keeps, so that the system is never singular."""
ROUNDS = 4
"""Rounds of reweighting. Chosen by hand; not measured."""
DEVIATIONS_OF_MEDIAN = 1.4826
"""A normal deviation as a multiple of the median absolute deviation (Rousseeuw and Leroy, Robust Regression, 1987)."""
LEAST_SCALE = 0.002
"""Least deviation, in diagonals, that misses are judged by: about two pixels at matching size. Chosen by hand; not
measured."""
TURNS_AT = 1.5
"""Deviations at which a match has lost half its weight (Cauchy weights). Chosen by hand; not measured."""
JUDGED, JUDGED_PERCENTILE = 10, 75
"""The nearest matches whose misses, at this percentile, tell the spread. Chosen by hand; not measured."""
SPREAD_OF_DISTANCE = 0.03
"""How much of the distance to the nearest match counts as spread. Chosen by hand; not measured."""
NEAREST_TOLD = 4
"""Which of the nearest matches tells how far off matches lie; one alone may be wrong. Chosen by hand; not measured."""
DOUBT_OF_SPREAD = 6
"""How fast confidence falls with spread: a spread of a sixth of the diagonal leaves none. Chosen by hand; not
measured."""


@dataclass(frozen=True, eq=False)
class LocalMaps:
    """Local affine maps at n points.

    Attributes
    ----------
    places_px : ndarray of shape (n, 2), float64
        Where the points lie in b; NaN where nothing can be said.
    linear : ndarray of shape (n, 2, 2), float64
        How a small step in a turns into one in b.
    spread : ndarray of shape (n,), float64
        Upper quartile of how far the nearest matches miss this map, in fractions of the diagonal.
    nearest : ndarray of shape (n,), float64
        Distance in a to the match that is the `NEAREST_TOLD`th nearest, in fractions of the diagonal.
    """

    places_px: FloatArray
    linear: FloatArray
    spread: FloatArray
    nearest: FloatArray

    @property
    def confidence(self) -> FloatArray:
        """How far each place is to be believed, 0 to 1, by its spread; no fitted probability."""
        return np.asarray(np.clip(1 - DOUBT_OF_SPREAD * self.spread, 0, 1))


def carry_locally(
    points_a: FloatArray,
    points_b: FloatArray,
    wanted_a: FloatArray,
    size_px: Size,
    *,
    homography: FloatArray | None = None,
    neighbours: int = NEIGHBOURS,
    seed: int = 1,
) -> LocalMaps:
    """Carry points by a weighted affine map of the nearest matches, reweighted against outliers.

    Where matches are few or far the linear part shrinks to the homography's, or to one affine map of all matches.

    Parameters
    ----------
    points_a, points_b : ndarray of shape (m, 2), float64
        Matches, pixels.
    wanted_a : ndarray of shape (n, 2), float64
        Points of a to carry.
    size_px : (int, int)
        Size of a.
    """
    count = len(wanted_a)
    diagonal = diagonal_px(size_px)
    places = np.full((count, 2), np.nan)
    linear = np.tile(np.eye(2), (count, 1, 1))
    spread, nearest = np.full(count, UNTOLD_SPREAD), np.full(count, np.inf)
    if len(points_a) < LEAST_MATCHES:
        if homography is not None:
            places = apply_homography(homography, wanted_a)
        return LocalMaps(places, linear, spread, nearest)
    overall = _overall_linear(points_a, points_b, diagonal, seed)
    for j, point in enumerate(np.asarray(wanted_a, dtype=np.float64)):
        prior = overall if homography is None else _linear_at(homography, point, STEP * diagonal)
        places[j], linear[j], spread[j], nearest[j] = _fit_one(points_a, points_b, point, prior, neighbours, diagonal)
    return LocalMaps(places, linear, spread, nearest)


def _overall_linear(points_a: FloatArray, points_b: FloatArray, diagonal: float, seed: int) -> FloatArray:
    """Linear part, shape (2, 2), of one affine map of all matches; no change where none is found."""
    cv2.setRNGSeed(seed)
    tolerance_px = OVERALL_TOLERANCE * diagonal
    found = cv2.estimateAffine2D(points_a, points_b, method=cv2.RANSAC, ransacReprojThreshold=tolerance_px)[0]
    return np.eye(2) if found is None else np.asarray(found[:, :2], dtype=np.float64)


def _linear_at(homography: FloatArray, point: FloatArray, step: float) -> FloatArray:
    """Linear part, shape (2, 2), of a homography at a point (2,), by differences over `step` pixels."""
    corners = apply_homography(homography, point + np.array([[0, 0], [step, 0], [0, step]]))
    linear = np.column_stack([corners[1] - corners[0], corners[2] - corners[0]]) / step
    return linear if np.isfinite(linear).all() else np.eye(2)


def _fit_one(
    points_a: FloatArray, points_b: FloatArray, point: FloatArray, prior: FloatArray, neighbours: int, diagonal: float
) -> tuple[FloatArray, FloatArray, float, float]:
    """Place (2,), linear part (2, 2), spread and distance of the near matches, as `LocalMaps` has them, at one point.

    Least squares reweighted against outliers (Holland and Welsch, 1977), drawn to the linear part `prior`, (2, 2).
    """
    distance = np.linalg.norm(points_a - point, axis=1)
    near = np.argsort(distance, kind="stable")[:neighbours]
    width = max(float(distance[near[len(near) // 2]]), LEAST_WIDTH * diagonal)
    offsets, targets = points_a[near] - point, points_b[near]
    weight_start = np.exp(-0.5 * (distance[near] / width) ** 2) + LEAST_WEIGHT
    weights = weight_start.copy()
    design = np.column_stack([offsets, np.ones(len(near))])
    pull = np.diag([width**2, width**2, 0.0])
    wanted = np.vstack([prior.T, np.zeros((1, 2))])
    solution = wanted
    for _ in range(ROUNDS):
        weighted = design.T * weights
        solution = np.linalg.solve(weighted @ design + pull, weighted @ targets + pull @ wanted)
        residual = np.linalg.norm(design @ solution - targets, axis=1)
        scale = max(DEVIATIONS_OF_MEDIAN * float(np.median(residual)), LEAST_SCALE * diagonal)
        weights = weight_start / (1 + (residual / (TURNS_AT * scale)) ** 2)
    missed = np.percentile(residual[:JUDGED], JUDGED_PERCENTILE) / diagonal
    spread = float(missed + SPREAD_OF_DISTANCE * distance[near[0]] / diagonal)
    told = near[min(NEAREST_TOLD, len(near)) - 1]
    return solution[2], solution[:2].T, spread, float(distance[told] / diagonal)
