"""Two-view geometry: robust homography and fundamental matrix, neighbour agreement, local affine maps.

Every robust estimate seeds OpenCV's generator first, so the same input gives the same output.
"""

from __future__ import annotations

import cv2
import numpy as np

from asfound.core.match.arrays import BoolArray, FloatArray

HOMOGRAPHY_TOLERANCE = 0.004
EPIPOLAR_TOLERANCE = 0.002
"""How far, in diagonals, a match may lie from where a homography sends it, and from its epipolar line: 5 and 2.5 pixels
at matching size. Chosen by hand; not measured."""
LEAST_FOR_HOMOGRAPHY, LEAST_FOR_FUNDAMENTAL = 5, 9
"""One match more than fits exactly: four for a homography, eight for the linear fundamental matrix (Hartley and
Zisserman, Multiple View Geometry, 2nd ed., 2004, sections 4.1 and 11.1)."""
MOST_SAMPLES, SURE = 5000, 0.9999
"""Samples of a robust estimate at most, and how sure it is to have drawn a good one when it stops. Chosen by hand; not
measured."""
AT_INFINITY = 1e-12
"""A homogeneous coordinate nearer to nought sends its point to infinity."""
LEAST_STEP_PX = 1e-6
"""Added to the length of a step between two matches, which may lie on each other, before it is divided by."""
MOST_LOG_RATIO = 3.0
"""Steps that grow or shrink by more than a factor of 20 (e to this) say nothing of the scale. Chosen by hand; not
measured."""
STEP_SHARE = 0.25
"""How much of the distance of its neighbour a match may miss. Chosen by hand; not measured."""
LEAST_NORM = 1e-12
"""Added to the norm of an epipolar line, which is nought at the epipole, before it is divided by."""


def apply_homography(homography: FloatArray, points_px: FloatArray) -> FloatArray:
    """Points (n, 2) through a homography (3, 3); those sent to infinity become NaN.

    Hartley and Zisserman, Multiple View Geometry, 2nd ed., 2004, section 2.3.
    """
    mapped = np.column_stack([points_px, np.ones(len(points_px))]) @ homography.T
    with np.errstate(divide="ignore", invalid="ignore"):
        flat = mapped[:, :2] / mapped[:, 2:]
    flat[np.abs(mapped[:, 2]) < AT_INFINITY] = np.nan
    return np.asarray(flat, dtype=np.float64)


def estimate_homography(
    points_a: FloatArray, points_b: FloatArray, tolerance_px: float, *, seed: int
) -> tuple[FloatArray | None, BoolArray]:
    """Homography from a to b by MAGSAC++ (Barath et al., CVPR 2020), and which of the n matches fit it."""
    none = np.zeros(len(points_a), dtype=np.bool_)
    if len(points_a) < LEAST_FOR_HOMOGRAPHY:
        return None, none
    cv2.setRNGSeed(seed)
    try:
        matrix, mask = cv2.findHomography(
            points_a, points_b, cv2.USAC_MAGSAC, tolerance_px, maxIters=MOST_SAMPLES, confidence=SURE
        )
    except cv2.error:
        return None, none
    if matrix is None or not np.isfinite(matrix).all():
        return None, none
    return np.asarray(matrix, dtype=np.float64), np.asarray(mask.ravel() > 0)


def estimate_fundamental(
    points_a: FloatArray, points_b: FloatArray, tolerance_px: float, *, seed: int
) -> tuple[FloatArray | None, BoolArray]:
    """Fundamental matrix (b^T F a = 0) by MAGSAC++, and which of the n matches lie on their epipolar lines."""
    none = np.zeros(len(points_a), dtype=np.bool_)
    if len(points_a) < LEAST_FOR_FUNDAMENTAL:
        return None, none
    cv2.setRNGSeed(seed)
    try:
        matrix, mask = cv2.findFundamentalMat(points_a, points_b, cv2.USAC_MAGSAC, tolerance_px, SURE, MOST_SAMPLES)
    except cv2.error:
        return None, none
    if matrix is None or matrix.shape != (3, 3) or not np.isfinite(matrix).all():
        return None, none
    return np.asarray(matrix, dtype=np.float64), np.asarray(mask.ravel() > 0)


def neighbours_agree(
    points_a: FloatArray, points_b: FloatArray, *, floor_px: float, neighbours: int = 8, need: int = 4
) -> BoolArray:
    """Which matches move like the matches around them; catches what an epipolar line lets through.

    A match stands when at least `need` of its `neighbours` nearest in a lie in b where the median similarity of that
    neighbourhood sends them, within a quarter of their distance or `floor_px`. The idea is that of GMS (Bian et al.,
    CVPR 2017) and of AdaLAM (Cavalli et al., ECCV 2020), in its simplest form.
    """
    count = len(points_a)
    if count < neighbours + 1:
        return np.zeros(count, dtype=np.bool_)
    squared = ((points_a[:, None] - points_a[None]) ** 2).sum(axis=-1)
    np.fill_diagonal(squared, np.inf)
    nearest = np.argpartition(squared, neighbours, axis=1)[:, :neighbours]
    step_a = points_a[nearest] - points_a[:, None]
    step_b = points_b[nearest] - points_b[:, None]
    length_a = np.linalg.norm(step_a, axis=-1) + LEAST_STEP_PX
    length_b = np.linalg.norm(step_b, axis=-1) + LEAST_STEP_PX
    log_ratio = np.log(length_b / length_a)
    turn = np.arctan2(step_b[..., 1], step_b[..., 0]) - np.arctan2(step_a[..., 1], step_a[..., 0])
    scale = np.exp(np.median(np.where(np.abs(log_ratio) < MOST_LOG_RATIO, log_ratio, 0), axis=1))
    angle = np.arctan2(np.median(np.sin(turn), axis=1), np.median(np.cos(turn), axis=1))
    cos, sin = (np.cos(angle) * scale)[:, None], (np.sin(angle) * scale)[:, None]
    expected = np.stack([cos * step_a[..., 0] - sin * step_a[..., 1], sin * step_a[..., 0] + cos * step_a[..., 1]], -1)
    miss = np.linalg.norm(expected - step_b, axis=-1)
    agree = miss < np.maximum(floor_px, STEP_SHARE * length_a * scale[:, None])
    return np.asarray(agree.sum(axis=1) >= need)


def epipolar_distance_px(fundamental: FloatArray, points_a: FloatArray, points_b: FloatArray) -> FloatArray:
    """Distance of each point of b (n, 2) from the epipolar line of its point of a (n, 2), in pixels of b."""
    lines = np.column_stack([points_a, np.ones(len(points_a))]) @ fundamental.T
    norm = np.hypot(lines[:, 0], lines[:, 1]) + LEAST_NORM
    return np.asarray(
        np.abs(lines[:, 0] * points_b[:, 0] + lines[:, 1] * points_b[:, 1] + lines[:, 2]) / norm, dtype=np.float64
    )
