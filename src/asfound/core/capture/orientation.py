"""From the pixels as stored to the picture as displayed, and back (Exif Orientation, field 0x0112, values 1 to 8).

Everywhere else in this program positions mean the displayed, upright picture.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

SIDEWAYS = frozenset({5, 6, 7, 8})
"""Values that swap width and height."""


def upright_frac(x: float, y: float, orientation: int) -> tuple[float, float]:
    """Where a stored point lies on the upright picture.

    Parameters
    ----------
    x, y : float
        Fractions of stored width and height, 0 to 1, from the stored top left.
    orientation : int
        1 to 8.

    Returns
    -------
    (float, float)
        Fractions of the upright picture, from its top left.

    Raises
    ------
    ValueError
        If `orientation` is not 1 to 8.
    """
    match orientation:
        case 1:
            return x, y
        case 2:
            return 1 - x, y
        case 3:
            return 1 - x, 1 - y
        case 4:
            return x, 1 - y
        case 5:
            return y, x
        case 6:
            return 1 - y, x
        case 7:
            return 1 - y, 1 - x
        case 8:
            return y, 1 - x
    raise ValueError(f"no such Exif orientation: {orientation}")


def upright_size(width_px: int, height_px: int, orientation: int) -> tuple[int, int]:
    """Width and height of the upright picture, from the stored ones."""
    return (height_px, width_px) if orientation in SIDEWAYS else (width_px, height_px)


def turn_upright(image: NDArray[np.uint8], orientation: int) -> NDArray[np.uint8]:
    """The upright picture of stored pixels, shape (h, w) or (h, w, 3), C-contiguous; the input itself for 1."""
    match orientation:
        case 1:
            return image
        case 2:
            turned = image[:, ::-1]
        case 3:
            turned = image[::-1, ::-1]
        case 4:
            turned = image[::-1]
        case 5:
            turned = image.swapaxes(0, 1)
        case 6:
            turned = image.swapaxes(0, 1)[:, ::-1]
        case 7:
            turned = image[::-1, ::-1].swapaxes(0, 1)
        case 8:
            turned = image.swapaxes(0, 1)[::-1]
        case _:
            raise ValueError(f"no such Exif orientation: {orientation}")
    return np.ascontiguousarray(turned)
