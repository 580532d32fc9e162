"""Descriptors on an even grid, for places where no keypoint is."""

from __future__ import annotations

import cv2
import numpy as np

from asfound.core.match.arrays import Float32Array, GrayImage

# OpenCV's descriptor reaches some five times a keypoint's size to each side: a patch of about 80 pixels.
PATCH_STEPS = 1.0


def describe_grid(gray: GrayImage, step_px: int, *, angle_deg: float) -> Float32Array:
    """Gradient histograms (RootSIFT) every `step_px` pixels, all turned by `angle_deg`.

    Parameters
    ----------
    gray : ndarray of shape (h, w), uint8
    step_px : int
        Grid point (i, j) lies at pixel (j * step, i * step).
    angle_deg : float
        Orientation of every descriptor, degrees clockwise on screen.

    Returns
    -------
    ndarray of shape (rows, columns, 128), float32
        Unit vectors.
    """
    even = cv2.createCLAHE(2.0, (8, 8)).apply(gray)
    rows, columns = -(-gray.shape[0] // step_px), -(-gray.shape[1] // step_px)
    size = PATCH_STEPS * step_px
    keypoints = [
        cv2.KeyPoint(float(j * step_px), float(i * step_px), size, angle_deg % 360)
        for i in range(rows)
        for j in range(columns)
    ]
    _, found = cv2.SIFT.create().compute(even, keypoints)
    values = np.asarray(found, dtype=np.float32)
    values /= np.maximum(values.sum(axis=1, keepdims=True), 1e-7)
    return np.sqrt(values).reshape(rows, columns, -1)
