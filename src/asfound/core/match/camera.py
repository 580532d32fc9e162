"""A pinhole camera: focal length from what the picture says, rays and projection.

Points in space are in the frame of the scene; a camera maps X to `rotation @ X + translation`, x right, y down, z
ahead.
"""

from __future__ import annotations

import numpy as np

from asfound.core.match.arrays import FloatArray
from asfound.core.match.pixels import Size

# Main cameras of phones lie between 24 and 28 mm; a picture that says nothing is taken for one of them.
USUAL_35MM = 26.0


def focal_px_from_35mm(focal_35mm: float | None, size_px: Size) -> float:
    """Focal length in pixels of a picture of `size_px` from Exif's FocalLengthIn35mmFilm.

    The full frame is 36 mm along its long side. None, or a value that no lens has, gives the usual phone's.
    """
    if focal_35mm is None or not 5 <= focal_35mm <= 2000:
        focal_35mm = USUAL_35MM
    return float(focal_35mm) / 36 * max(size_px)


def rays(points_px: FloatArray, focal_px: float, size_px: Size) -> FloatArray:
    """Pixels (n, 2) to directions (n, 2) at depth one; the principal point is the picture's middle."""
    middle = (np.array(size_px, dtype=np.float64) - 1) / 2
    return np.asarray((np.asarray(points_px, dtype=np.float64) - middle) / focal_px)


def project(
    points: FloatArray, rotation: FloatArray, translation: FloatArray, focal_px: float, size_px: Size
) -> FloatArray:
    """Points in space (n, 3) to x, y in pixels and depth, shape (n, 3); x and y are NaN behind the camera."""
    local = np.asarray(points, dtype=np.float64) @ rotation.T + translation
    depth = local[:, 2]
    ahead = np.where(depth > 1e-9, depth, np.nan)
    middle = (np.array(size_px, dtype=np.float64) - 1) / 2
    flat = local[:, :2] / ahead[:, None] * focal_px + middle
    return np.column_stack([flat, depth])
