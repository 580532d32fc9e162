"""Array types used in the annotations of this package, whose shapes stand in each docstring; and rows of length one."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]
Float32Array = NDArray[np.float32]
IntArray = NDArray[np.integer[Any]]
BoolArray = NDArray[np.bool_]
GrayImage = NDArray[np.uint8]
RgbImage = NDArray[np.uint8]

LEAST_LENGTH = 1e-9
"""Guards the division by a length: a row that is shorter stays next to nought instead of being made of noise."""


def unit_rows(rows: Float32Array) -> Float32Array:
    """Rows (..., d) made one long, float32; rows of zeros stay zeros."""
    return np.asarray(rows / np.maximum(np.linalg.norm(rows, axis=-1, keepdims=True), LEAST_LENGTH), np.float32)
