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
        Distance in a to the fourth nearest match, in fractions of the diagonal.
    """

    places_px: FloatArray
    linear: FloatArray
    spread: FloatArray
    nearest: FloatArray


def carry_locally(
    points_a: FloatArray,
    points_b: FloatArray,
    wanted_a: FloatArray,
    size_px: Size,
    *,
    homography: FloatArray | None = None,
    neighbours: int = 16,
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
    spread, nearest = np.full(count, 0.05), np.full(count, np.inf)
    if len(points_a) < 4:
        if homography is not None:
            places = apply_homography(homography, wanted_a)
        return LocalMaps(places, linear, spread, nearest)
    overall = _overall_linear(points_a, points_b, diagonal, seed)
    for j, point in enumerate(np.asarray(wanted_a, dtype=np.float64)):
        prior = overall if homography is None else _linear_at(homography, point, 0.005 * diagonal)
        places[j], linear[j], spread[j], nearest[j] = _fit_one(points_a, points_b, point, prior, neighbours, diagonal)
    return LocalMaps(places, linear, spread, nearest)


def _overall_linear(points_a: FloatArray, points_b: FloatArray, diagonal: float, seed: int) -> FloatArray:
    cv2.setRNGSeed(seed)
    found = cv2.estimateAffine2D(points_a, points_b, method=cv2.RANSAC, ransacReprojThreshold=0.02 * diagonal)[0]
    return np.eye(2) if found is None else np.asarray(found[:, :2], dtype=np.float64)


def _linear_at(homography: FloatArray, point: FloatArray, step: float) -> FloatArray:
    corners = apply_homography(homography, point + np.array([[0, 0], [step, 0], [0, step]]))
    linear = np.column_stack([corners[1] - corners[0], corners[2] - corners[0]]) / step
    return linear if np.isfinite(linear).all() else np.eye(2)


def _fit_one(
    points_a: FloatArray, points_b: FloatArray, point: FloatArray, prior: FloatArray, neighbours: int, diagonal: float
) -> tuple[FloatArray, FloatArray, float, float]:
    distance = np.linalg.norm(points_a - point, axis=1)
    near = np.argsort(distance, kind="stable")[:neighbours]
    width = max(float(distance[near[len(near) // 2]]), 0.01 * diagonal)
    offsets, targets = points_a[near] - point, points_b[near]
    weight_start = np.exp(-0.5 * (distance[near] / width) ** 2) + 1e-4
    weights = weight_start.copy()
    design = np.column_stack([offsets, np.ones(len(near))])
    pull = np.diag([width**2, width**2, 0.0])
    wanted = np.vstack([prior.T, np.zeros((1, 2))])
    solution = wanted
    for _ in range(4):
        weighted = design.T * weights
        solution = np.linalg.solve(weighted @ design + pull, weighted @ targets + pull @ wanted)
        residual = np.linalg.norm(design @ solution - targets, axis=1)
        scale = max(1.4826 * float(np.median(residual)), 0.002 * diagonal)
        weights = weight_start / (1 + (residual / (1.5 * scale)) ** 2)
    spread = float(np.percentile(residual[:10], 75) / diagonal + 0.03 * distance[near[0]] / diagonal)
    return solution[2], solution[:2].T, spread, float(distance[near[min(3, len(near) - 1)]] / diagonal)
