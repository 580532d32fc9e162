"""What a scene consists of; `scene` builds and stores it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray, IntArray
from asfound.core.match.features import Features


@dataclass(frozen=True, eq=False)
class ScenePicture:
    """A picture that may take part in a scene.

    Attributes
    ----------
    picture_id : int
    features : Features
    focal_px : float or None
        At the size of the features (`camera.focal_px_from_35mm`); None takes the usual phone's.
    taken_s : float or None
    """

    picture_id: int
    features: Features
    focal_px: float | None = None
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
