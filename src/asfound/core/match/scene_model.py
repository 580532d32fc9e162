"""What a scene consists of; `scene` builds and stores it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray, IntArray
from asfound.core.match.camera import PinholeCamera
from asfound.core.match.features import Features


@dataclass(frozen=True, eq=False)
class ScenePicture:
    """A picture that may take part in a scene.

    Attributes
    ----------
    picture_id : int
    features : Features
    focal_px : float
        Focal length in pixels at the size of the features (`camera.focal_px_from_35mm`).
    taken_s : float or None
        Seconds on any common clock.
    """

    picture_id: int
    features: Features
    focal_px: float
    taken_s: float | None = None


@dataclass(frozen=True, eq=False)
class Scene:
    """Placed pictures and points, in a frame and unit of the scene's own.

    Attributes
    ----------
    picture_ids : ndarray of shape (n,), int32
        The placed pictures; empty when none could be.
    rotations, translations : ndarray of shape (n, 3, 3) and (n, 3), float64
        Scene to camera.
    focals_px : ndarray of shape (n,), float64
    sizes_px : ndarray of shape (n, 2), int32
    support : ndarray of shape (n,), int32
        Points seen that hold each picture in place.
    points : ndarray of shape (m, 3), float64
    sightings : ndarray of shape (k, 3), int32
        Row of `picture_ids`, keypoint of that picture, row of `points`.
    """

    picture_ids: IntArray
    rotations: FloatArray
    translations: FloatArray
    focals_px: FloatArray
    sizes_px: IntArray
    support: IntArray
    points: FloatArray
    sightings: IntArray

    def camera(self, row: int) -> PinholeCamera:
        """The camera of the picture of a row."""
        size = int(self.sizes_px[row, 0]), int(self.sizes_px[row, 1])
        return PinholeCamera(self.rotations[row], self.translations[row], float(self.focals_px[row]), size)

    def seen_by(self, row: int) -> FloatArray:
        """The points that the picture of a row shows, shape (k, 3), each once."""
        mine = np.unique(self.sightings[self.sightings[:, 0] == row, 2])
        return np.asarray(self.points[mine])

    def row_of(self, picture_id: int) -> int | None:
        """Row of a placed picture, None where it could not be placed."""
        rows = np.flatnonzero(self.picture_ids == picture_id)
        return int(rows[0]) if len(rows) else None


def empty_scene() -> Scene:
    """A scene that places nothing."""
    return Scene(
        np.zeros(0, np.int32),
        np.zeros((0, 3, 3)),
        np.zeros((0, 3)),
        np.zeros(0),
        np.zeros((0, 2), np.int32),
        np.zeros(0, np.int32),
        np.zeros((0, 3)),
        np.zeros((0, 3), np.int32),
    )
