"""The surroundings of keypoints as small upright pictures, for a network to describe."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.match.arrays import Float32Array, GrayImage

SIDE = 32
"""Pixels of a patch."""
REACHES = (6.0, 15.0)
"""Sides of the two patches in diameters of the keypoint: what SIFT describes, and what lies around it."""
MOST_HALVED = 4
"""Times the picture is halved at most: patches of the widest keypoints are then sampled without aliasing."""
LEAST_STEP_PX = 1e-3
"""Guards the logarithm of a step; the picture itself is sampled for anything below a pixel."""
BLOCK = 900
"""Patches that are sampled at a time: OpenCV takes maps of at most 32,767 rows."""


def sample_patches(
    gray: GrayImage, points_px: Float32Array, scales: Float32Array, angles: Float32Array
) -> NDArray[np.uint8]:
    """Two patches around each keypoint, turned so that its angle points right.

    Parameters
    ----------
    gray : ndarray of shape (h, w), uint8
    points_px : ndarray of shape (n, 2), float32
        Integer coordinates are pixel centres.
    scales, angles : ndarray of shape (n,), float32
        Diameter in pixels; degrees, clockwise on screen.

    Returns
    -------
    ndarray of shape (n, 2, SIDE, SIDE), uint8
        One for each of `REACHES`; beyond the edge the picture is mirrored.
    """
    halved = [gray]
    for _ in range(MOST_HALVED):
        width, height = max(1, halved[-1].shape[1] // 2), max(1, halved[-1].shape[0] // 2)
        halved.append(np.asarray(cv2.resize(halved[-1], (width, height), interpolation=cv2.INTER_AREA), np.uint8))
    # Sides that are no multiple of sixteen are not halved exactly.
    shrunk = [np.array(image.shape[::-1], np.float32) / np.array(gray.shape[::-1], np.float32) for image in halved]
    turns = np.deg2rad(angles)
    directions = np.column_stack([np.cos(turns), np.sin(turns)]).astype(np.float32)
    out = np.zeros((len(points_px), len(REACHES), SIDE, SIDE), np.uint8)
    for k, reach in enumerate(REACHES):
        steps = (reach * scales / SIDE).astype(np.float32)
        # From the picture halved so often that a step of the patch is one to two pixels: no finer detail can alias.
        level = np.clip(np.floor(np.log2(np.maximum(steps, LEAST_STEP_PX))), 0, MOST_HALVED).astype(int)
        for times in np.unique(level):
            for rows in np.array_split(at := np.flatnonzero(level == times), -(-len(at) // BLOCK)):
                out[rows, k] = _sample(halved[times], shrunk[times], points_px[rows], steps[rows], directions[rows])
    return out


def _sample(
    image: GrayImage, shrunk: Float32Array, points_px: Float32Array, steps: Float32Array, directions: Float32Array
) -> NDArray[np.uint8]:
    """Patches (n, SIDE, SIDE) out of a picture `shrunk` (2,) times as large as the one that places and steps are in."""
    offsets = np.arange(SIDE, dtype=np.float32) - (SIDE - 1) / 2
    right, down = np.meshgrid(offsets, offsets)
    along, across = (steps[:, None] * directions).T[:, :, None, None]
    x = points_px[:, 0, None, None] + along * right - across * down
    y = points_px[:, 1, None, None] + across * right + along * down
    maps = [
        ((v + 0.5) * share - 0.5).reshape(-1, SIDE).astype(np.float32) for v, share in zip((x, y), shrunk, strict=True)
    ]
    taken = cv2.remap(image, maps[0], maps[1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT_101)
    return np.asarray(taken, np.uint8).reshape(-1, SIDE, SIDE)
