"""Array types used in the annotations of this package; the shapes stand in each docstring."""

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
