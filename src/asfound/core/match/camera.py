"""A pinhole camera: where it stood, how it looks at points in space, and its focal length from what a picture says.

Points in space are in the frame and unit of the scene. In a camera's own frame x points right, y down and z ahead
(Hartley and Zisserman, Multiple View Geometry, 2nd ed., 2004, chapter 6). No lens distortion: phones take it off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray
from asfound.core.match.pixels import Size, diagonal_px, from_middle, middle_px

USUAL_35MM = 26.0
"""Main cameras of phones lie between 24 and 28 mm; a picture that says nothing is taken for one of them."""
SHORTEST_35MM, LONGEST_35MM = 5.0, 2000.0
"""No lens has less or more: such a value in a file is a slip. Common knowledge of lenses, no source."""
FULL_FRAME_MM = 36.0
"""Long side of the frame that FocalLengthIn35mmFilm refers to (Exif 2.32, CIPA DC-008, tag 0xA405)."""
LEAST_DEPTH = 1e-9
"""What is not farther ahead than this, in the unit of the scene, counts as behind the camera; guards the division."""


@dataclass(frozen=True, eq=False)
class PinholeCamera:
    """A camera in a scene.

    Attributes
    ----------
    rotation, translation : ndarray of shape (3, 3) and (3,), float64
        A point X of the scene lies at `rotation @ X + translation` in the camera's own frame.
    focal_px : float
        Focal length in pixels of the picture of `size_px`.
    size_px : (int, int)
        Width and height of the picture. The optical axis meets it in its middle (`pixels.middle_px`).
    """

    rotation: FloatArray
    translation: FloatArray
    focal_px: float
    size_px: Size

    @property
    def centre(self) -> FloatArray:
        """Where the camera stands in the scene, shape (3,)."""
        return np.asarray(-self.rotation.T @ self.translation)

    @property
    def diagonal_px(self) -> float:
        """Length of the picture's diagonal in pixels."""
        return diagonal_px(self.size_px)

    def local(self, points: FloatArray) -> FloatArray:
        """Points of the scene (..., 3) in the camera's own frame, shape (..., 3)."""
        return np.asarray(points @ self.rotation.T + self.translation)

    def depths(self, points: FloatArray) -> FloatArray:
        """How far ahead along the optical axis points of the scene (..., 3) lie, shape (...); negative behind."""
        return np.asarray(self.local(points)[..., 2])

    def project_from_middle(self, points: FloatArray) -> FloatArray:
        """Points of the scene (..., 3) in pixels from the picture's middle (..., 2); NaN behind the camera."""
        local = self.local(points)
        ahead = np.where(local[..., 2:] > LEAST_DEPTH, local[..., 2:], np.nan)
        return np.asarray(local[..., :2] / ahead * self.focal_px)

    def project(self, points: FloatArray) -> FloatArray:
        """Points of the scene (..., 3) in pixels of the picture (..., 2), also outside it; NaN behind the camera."""
        return np.asarray(self.project_from_middle(points) + middle_px(self.size_px))

    def rays(self, points_px: FloatArray) -> FloatArray:
        """Pixels (n, 2) as directions in the camera's own frame with depth one, shape (n, 3)."""
        flat = from_middle(points_px, self.size_px) / self.focal_px
        return np.column_stack([flat, np.ones(len(flat))])

    def directions(self, points_px: FloatArray) -> FloatArray:
        """Pixels (n, 2) as directions of length one in the scene, shape (n, 3)."""
        turned = self.rays(points_px) @ self.rotation
        return np.asarray(turned / np.linalg.norm(turned, axis=1, keepdims=True))

    def lift(self, points_px: FloatArray, depths: FloatArray) -> FloatArray:
        """Pixels (n, 2) at each of the depths (d,) ahead as points of the scene, shape (d, n, 3)."""
        local = depths[:, None, None] * self.rays(points_px)[None]
        return np.asarray((local - self.translation) @ self.rotation)


def focal_px_from_35mm(focal_35mm: float | None, size_px: Size) -> float:
    """Focal length in pixels of a picture of `size_px` from Exif's FocalLengthIn35mmFilm.

    None, or a value that no lens has, gives the usual phone's. Nothing else in the package assumes a focal length.
    """
    if focal_35mm is None or not SHORTEST_35MM <= focal_35mm <= LONGEST_35MM:
        focal_35mm = USUAL_35MM
    return float(focal_35mm) / FULL_FRAME_MM * max(size_px)


def to_own_frames(rotations: FloatArray, translations: FloatArray, points: FloatArray) -> FloatArray:
    """Each of k points (k, 3) in the frame of its own one of k cameras, (k, 3, 3) and (k, 3); shape (k, 3)."""
    return np.asarray(np.einsum("kij,kj->ki", rotations, points) + translations)
