"""Points in space from sightings in placed pictures, many at once."""

from __future__ import annotations

import numpy as np

from asfound.core.match.arrays import FloatArray, IntArray

LEAST_LENGTH = 1e-12
"""Guards the mean of rays that point against each other."""
LEAST_ANGLE_DEG, LEAST_DETERMINANT = 0.05, 1e-12
"""Rays that are more nearly parallel have no point where they meet. Chosen by hand; not measured."""


def triangulate_points(
    centres: FloatArray, directions: FloatArray, points_of: IntArray, count: int
) -> tuple[FloatArray, FloatArray]:
    """The point nearest to each bundle of rays, in the sense of least squared distance.

    Parameters
    ----------
    centres, directions : ndarray of shape (k, 3), float64
        A camera centre and a unit direction for each sighting.
    points_of : ndarray of shape (k,), int
        The point, 0 to `count` - 1, that each sighting is of.
    count : int

    Returns
    -------
    points : ndarray of shape (count, 3)
        NaN where the rays are too nearly parallel.
    angles_deg : ndarray of shape (count,)
        The widest angle between rays of a point, as far as their spread tells: from the largest deviation of a ray from
        the mean ray, doubled.
    """
    along = np.eye(3) - directions[:, :, None] * directions[:, None, :]
    normal = np.zeros((count, 3, 3))
    np.add.at(normal, points_of, along)
    right = np.zeros((count, 3))
    np.add.at(right, points_of, np.einsum("kij,kj->ki", along, centres))
    mean = np.zeros((count, 3))
    np.add.at(mean, points_of, directions)
    mean /= np.maximum(np.linalg.norm(mean, axis=1, keepdims=True), LEAST_LENGTH)
    cosine = np.clip((directions * mean[points_of]).sum(axis=1), -1, 1)
    least = np.ones(count)
    np.minimum.at(least, points_of, cosine)
    angles = 2 * np.degrees(np.arccos(least))
    points = np.full((count, 3), np.nan)
    solvable = (angles > LEAST_ANGLE_DEG) & (np.linalg.det(normal) > LEAST_DETERMINANT)
    points[solvable] = np.linalg.solve(normal[solvable], right[solvable][:, :, None])[:, :, 0]
    return points, angles
