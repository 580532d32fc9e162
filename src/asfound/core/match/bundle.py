"""Bundle adjustment: cameras and points moved together until the sightings fit best.

Levenberg-Marquardt on the reduced camera system (Triggs et al., Bundle Adjustment: A Modern Synthesis, 2000), with a
Cauchy loss. Plain NumPy: a spot has some ten pictures and a few thousand points.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray, IntArray
from asfound.core.match.camera import to_own_frames

LOSS_PX = 2.0
"""Misfit from which the Cauchy loss grows slowly, so that wrong sightings pull little. Chosen by hand; not measured."""
CHUNK = 1500
"""Points eliminated at a time, so that the table of a chunk stays small. Chosen by hand; not measured."""
TURN, SHIFT, FOCAL = slice(0, 3), slice(3, 6), 6
"""Where the turn, the shift and the focal length of a camera stand among its unknowns."""
CAMERA_SIZE = 7
"""Unknowns of a camera."""
LEAST_DEPTH = 1e-6
"""A point nearer than this, in the unit of the scene, or behind the camera projects as if it were so near and counts
for nothing in a step."""
MOST_MISFIT_PX = 1e5
"""Misfits are held to this, so that a point near the plane of the lens keeps the cost finite."""
START_DAMPING, LEAST_DAMPING, MOST_DAMPING = 1e-3, 1e-8, 1e4
DAMP_MORE, DAMP_LESS = 10, 5
"""Damping of Levenberg and Marquardt at the start, at least and at most, and how it changes after a bad and a good
step. Usual values (Hartley and Zisserman, Multiple View Geometry, 2nd ed., 2004, appendix 6.2, from memory, start with
1e-3 and factors of ten); the others chosen by hand; not measured."""
SETTLED = 1e-4
"""A step that takes off a smaller share of the cost is the last. Chosen by hand; not measured."""
ALWAYS_DAMPED = 1e-9
"""Added to each diagonal, so that an unknown that nothing holds does not make the system singular."""
LEAST_TURN_RAD = 1e-8
"""Below it the limits of sin(x) / x and (1 - cos(x)) / x^2 stand for the quotients; the error is below x^2."""
FOCAL_HALVED_AT_MOST, FOCAL_DOUBLED_AT_MOST = 0.5, 2.0
"""How far a focal length may move from its start as a factor. Chosen by hand; not measured."""


@dataclass(frozen=True, eq=False)
class Bundle:
    """Cameras and points that are adjusted, and the sightings they are judged by.

    Attributes
    ----------
    rotations, translations, focals_px : ndarray of shape (n, 3, 3), (n, 3) and (n,), float64
    points : ndarray of shape (m, 3), float64
    cameras_of, points_of : ndarray of shape (k,), int
        Which camera sees which point.
    seen_px : ndarray of shape (k, 2), float64
        Where it sees it, in pixels from the picture's middle.
    """

    rotations: FloatArray
    translations: FloatArray
    focals_px: FloatArray
    points: FloatArray
    cameras_of: IntArray
    points_of: IntArray
    seen_px: FloatArray


def residuals_px(bundle: Bundle) -> FloatArray:
    """Projection minus sighting, shape (k, 2); large and finite for points behind a camera."""
    local = _local(bundle)
    depth = np.maximum(local[:, 2], LEAST_DEPTH)
    flat = local[:, :2] / depth[:, None] * bundle.focals_px[bundle.cameras_of, None]
    return np.asarray(np.clip(flat - bundle.seen_px, -MOST_MISFIT_PX, MOST_MISFIT_PX))


def adjust_bundle(bundle: Bundle, *, iterations: int = 10, focal_sigma: float = 0.01) -> Bundle:
    """Adjust points, all cameras but the first, and focal lengths.

    `focal_sigma` says how near focal lengths are kept to their start, as a part of them.
    """
    start_focals = bundle.focals_px
    damping, cost = START_DAMPING, _cost(bundle, start_focals, focal_sigma)
    for _ in range(iterations):
        moved = _step(bundle, start_focals, focal_sigma, damping)
        new_cost = _cost(moved, start_focals, focal_sigma)
        if not new_cost < cost:
            damping *= DAMP_MORE
            if damping > MOST_DAMPING:
                break
            continue
        finished = cost - new_cost < SETTLED * cost
        bundle, cost, damping = moved, new_cost, max(damping / DAMP_LESS, LEAST_DAMPING)
        if finished:
            break
    return bundle


def exp_rotation(vectors: FloatArray) -> FloatArray:
    """Rotation matrices (n, 3, 3) of rotation vectors (n, 3), by Rodrigues' formula."""
    angle = np.linalg.norm(vectors, axis=1)[:, None, None]
    cross = skew(vectors)
    safe = np.maximum(angle, LEAST_TURN_RAD)
    first = np.where(angle > LEAST_TURN_RAD, np.sin(angle) / safe, 1.0)
    second = np.where(angle > LEAST_TURN_RAD, (1 - np.cos(angle)) / safe**2, 0.5)
    return np.asarray(np.eye(3) + first * cross + second * (cross @ cross))


def skew(vectors: FloatArray) -> FloatArray:
    """Cross product matrices (n, 3, 3) of vectors (n, 3)."""
    x, y, z = vectors.T
    zero = np.zeros_like(x)
    return np.stack([zero, -z, y, z, zero, -x, -y, x, zero], axis=1).reshape(-1, 3, 3)


def _local(bundle: Bundle) -> FloatArray:
    """Each sighting's point in the frame of the camera that sees it, shape (k, 3)."""
    cameras = bundle.cameras_of
    return to_own_frames(bundle.rotations[cameras], bundle.translations[cameras], bundle.points[bundle.points_of])


def _cost(bundle: Bundle, start_focals: FloatArray, focal_sigma: float) -> float:
    """What is made small: the Cauchy loss of all misfits, and how far focal lengths are from their start."""
    squared = (residuals_px(bundle) ** 2).sum(axis=1)
    prior = (((bundle.focals_px - start_focals) / (focal_sigma * start_focals)) ** 2).sum()
    return float(LOSS_PX**2 * np.log1p(squared / LOSS_PX**2).sum() + prior)


def _jacobians(bundle: Bundle) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Weighted residuals (k, 2) and their derivatives by camera (k, 2, 7) and by point (k, 2, 3)."""
    local = _local(bundle)
    rotation, focal = bundle.rotations[bundle.cameras_of], bundle.focals_px[bundle.cameras_of]
    depth = np.maximum(local[:, 2], LEAST_DEPTH)
    flat = local[:, :2] / depth[:, None]
    by_local = np.zeros((len(local), 2, 3))
    by_local[:, 0, 0] = by_local[:, 1, 1] = focal / depth
    by_local[:, :, 2] = -(focal / depth)[:, None] * flat
    residual = np.clip(flat * focal[:, None] - bundle.seen_px, -MOST_MISFIT_PX, MOST_MISFIT_PX)
    weight = 1 / np.sqrt(1 + (residual**2).sum(axis=1) / LOSS_PX**2)
    weight *= local[:, 2] > LEAST_DEPTH
    turned = local - bundle.translations[bundle.cameras_of]
    by_camera = np.concatenate([-by_local @ skew(turned), by_local, flat[:, :, None]], axis=2)
    by_point = by_local @ rotation
    return residual * weight[:, None], by_camera * weight[:, None, None], by_point * weight[:, None, None]


def _step(bundle: Bundle, start_focals: FloatArray, focal_sigma: float, damping: float) -> Bundle:
    """One damped step; points are eliminated first, a chunk at a time."""
    residual, by_camera, by_point = _jacobians(bundle)
    cameras, points, size = len(bundle.focals_px), len(bundle.points), CAMERA_SIZE
    normal = np.zeros((cameras, size, size))
    np.add.at(normal, bundle.cameras_of, np.einsum("kai,kaj->kij", by_camera, by_camera))
    right = np.zeros((cameras, size))
    np.add.at(right, bundle.cameras_of, -np.einsum("kai,ka->ki", by_camera, residual))
    sigma = focal_sigma * start_focals
    normal[:, FOCAL, FOCAL] += 1 / sigma**2
    right[:, FOCAL] -= (bundle.focals_px - start_focals) / sigma**2
    point_normal = np.zeros((points, 3, 3))
    np.add.at(point_normal, bundle.points_of, np.einsum("kai,kaj->kij", by_point, by_point))
    point_right = np.zeros((points, 3))
    np.add.at(point_right, bundle.points_of, -np.einsum("kai,ka->ki", by_point, residual))
    diagonal = np.arange(3)
    point_normal[:, diagonal, diagonal] *= 1 + damping
    point_normal[:, diagonal, diagonal] += ALWAYS_DAMPED
    inverse = np.asarray(np.linalg.inv(point_normal), dtype=np.float64)
    mixed = np.einsum("kai,kaj->kij", by_camera, by_point)
    reduced, reduced_right = _reduce(bundle, normal, right, inverse, point_right, mixed, damping)
    free = np.arange(SHIFT.stop, cameras * size)  # the first camera keeps its turn and shift
    camera_step = np.zeros((cameras, size))
    camera_step.flat[free] = np.linalg.solve(reduced[np.ix_(free, free)], reduced_right[free])
    pulled = point_right.copy()
    np.subtract.at(pulled, bundle.points_of, np.einsum("kij,ki->kj", mixed, camera_step[bundle.cameras_of]))
    point_step = np.einsum("mij,mj->mi", inverse, pulled)
    turn = exp_rotation(camera_step[:, TURN])
    return Bundle(
        turn @ bundle.rotations,
        bundle.translations + camera_step[:, SHIFT],
        np.clip(
            bundle.focals_px + camera_step[:, FOCAL],
            FOCAL_HALVED_AT_MOST * start_focals,
            FOCAL_DOUBLED_AT_MOST * start_focals,
        ),
        bundle.points + point_step,
        bundle.cameras_of,
        bundle.points_of,
        bundle.seen_px,
    )


def _reduce(
    bundle: Bundle,
    normal: FloatArray,
    right: FloatArray,
    inverse: FloatArray,
    point_right: FloatArray,
    mixed: FloatArray,
    damping: float,
) -> tuple[FloatArray, FloatArray]:
    """The normal equations of the cameras with the points eliminated (Schur complement).

    Returns the dense matrix, (7 n, 7 n), and the right side, (7 n,), of n cameras.
    """
    cameras, size = len(normal), CAMERA_SIZE
    reduced = np.zeros((cameras * size, cameras * size))
    index = np.arange(size)
    for camera in range(cameras):
        block = normal[camera].copy()
        block[index, index] = block[index, index] * (1 + damping) + ALWAYS_DAMPED
        reduced[camera * size : (camera + 1) * size, camera * size : (camera + 1) * size] = block
    reduced_right = right.ravel().copy()
    order = np.argsort(bundle.points_of, kind="stable")
    sorted_points = bundle.points_of[order]
    for first in range(0, len(inverse), CHUNK):
        last = min(first + CHUNK, len(inverse))
        rows = order[np.searchsorted(sorted_points, first) : np.searchsorted(sorted_points, last)]
        joint = np.zeros((cameras, last - first, size, 3))
        np.add.at(joint, (bundle.cameras_of[rows], bundle.points_of[rows] - first), mixed[rows])
        flat = joint.transpose(0, 2, 1, 3).reshape(cameras * size, -1)
        weighted = np.einsum("cpij,pjk->cpik", joint, inverse[first:last]).transpose(0, 2, 1, 3).reshape(flat.shape)
        reduced -= weighted @ flat.T
        reduced_right -= weighted @ point_right[first:last].ravel()
    return reduced, reduced_right
