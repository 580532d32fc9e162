"""Between full pictures, reduced pictures and fractions. The only place of the package that rescales positions.

Integer pixel coordinates are pixel centres: pixel (0, 0) covers -0.5 to 0.5, so that a picture `w` pixels wide reaches
from -0.5 to w - 0.5, its middle lies at (w - 1) / 2, and a fraction f of it is `f * w - 0.5`.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import ArrayLike

from asfound.core.match.arrays import FloatArray, GrayImage

Size = tuple[int, int]


def reduce_gray(gray: GrayImage, longest_px: int) -> GrayImage:
    """The picture with its longest side at most `longest_px`, averaged, never enlarged."""
    height, width = gray.shape[:2]
    scale = longest_px / max(height, width, 1)
    if scale >= 1:
        return gray
    size = max(1, round(width * scale)), max(1, round(height * scale))
    return np.asarray(cv2.resize(gray, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def resize_gray(gray: GrayImage, size_px: Size) -> GrayImage:
    """The picture at exactly `size_px` (width, height)."""
    if (gray.shape[1], gray.shape[0]) == size_px:
        return gray
    smaller = gray.shape[1] > size_px[0]
    how = cv2.INTER_AREA if smaller else cv2.INTER_LINEAR
    return np.asarray(cv2.resize(gray, size_px, interpolation=how), dtype=np.uint8)


def px_from_frac(points_frac: ArrayLike, size_px: Size) -> FloatArray:
    """Fractions of width and height, shape (..., 2), to pixels of a picture of `size_px`."""
    return np.asarray(points_frac, dtype=np.float64) * np.array(size_px, dtype=np.float64) - 0.5


def frac_from_px(points_px: ArrayLike, size_px: Size) -> FloatArray:
    """Pixels, shape (..., 2), to fractions of width and height; the inverse of `px_from_frac`."""
    return (np.asarray(points_px, dtype=np.float64) + 0.5) / np.array(size_px, dtype=np.float64)


def middle_px(size_px: Size) -> FloatArray:
    """The middle of a picture, shape (2,), in pixels: (width - 1) / 2, (height - 1) / 2."""
    return (np.array(size_px, dtype=np.float64) - 1) / 2


def from_middle(points_px: ArrayLike, size_px: Size) -> FloatArray:
    """Pixels, shape (..., 2), as offsets from the middle of a picture of `size_px`, right and down, float64."""
    return np.asarray(points_px, dtype=np.float64) - middle_px(size_px)


def diagonal_px(size_px: Size) -> float:
    """Length of the picture's diagonal in pixels: the yardstick of every tolerance here."""
    return float(np.hypot(*size_px))


def cells_held(points_frac: FloatArray, per_side: int) -> int:
    """Cells of a net of `per_side` by `per_side` over a picture that hold one of the points (n, 2), fractions of it."""
    cells = np.clip((points_frac * per_side).astype(int), 0, per_side - 1)
    return len(np.unique(cells[:, 0] * per_side + cells[:, 1]))
