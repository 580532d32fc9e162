"""How far away a pinned point is: patches compared along its ray in all placed pictures, helped by the sparse points.

A plane sweep (Collins, CVPR 1996) over one small patch: for each depth the patch is laid on a plane facing the pin's
camera and compared with what the other pictures show there.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from asfound.core.match.arrays import Float32Array, FloatArray
from asfound.core.match.camera import PinholeCamera
from asfound.core.match.scene_model import Scene

STEPS_LEAST, STEPS_MOST = 16, 160
STEP_PX = 1.5
"""Depths tried: so many that no picture sees a step of more than STEP_PX, between these numbers. Chosen by hand; not
measured."""
NEIGHBOURS = 40
"""Sparse points nearest to a pin that tell its depth. Chosen by hand; not measured."""
LEAST_NEIGHBOURS = 3
"""Fewer do not tell the order of magnitude. Chosen by hand; not measured."""
DEEP_PERCENTILES = (3, 97)
NEARER, FARTHER = 0.8, 1.2
"""Between these percentiles of the neighbours' depths, that much nearer and farther, the pin may lie. Chosen by hand;
not measured."""
UNSEEN_MOVE_PX = 30.0
"""How far a pin is taken to move between its depths when no picture shows both ends. Chosen by hand; not measured."""
SHARPNESS, EVEN_AT = 8.0, 0.6
"""How strongly the likeness of a patch speaks, and the likeness at which it speaks for no depth. Chosen by hand; not
measured."""
UNSEEN = 0.3
"""What a picture in which the patch is hidden or bare still leaves a depth. Chosen by hand; not measured."""
PATCHES = ((0.010, 13), (0.022, 15))
"""Half sides of the small and the large patch in diagonals, and samples to a side. Chosen by hand; not measured."""
NEIGHBOUR_REACH = 0.03
"""Distance in the picture, in diagonals, at which a sparse point weighs half. Chosen by hand; not measured."""
DEPTH_SPREAD = 0.02
"""Deviation of a pin's depth from a neighbour's, as a share of it. Chosen by hand; not measured."""
FLOOR = 0.03
"""What depths that no neighbour has are still believed, against one at which all lie. Chosen by hand; not measured."""
LIGHT_SIGMA_PX = 10.0
"""Width of the neighbourhood whose brightness and contrast are divided out. Chosen by hand; not measured."""
FLAT_VARIANCE = 30.0
"""Added to the variance of gray levels, so that what is flat is not made of noise. Chosen by hand; not measured."""
LEAST_NORM = 1e-3
"""Guards the division by the norms of two patches of a blank picture."""
OUTSIDE_PX = -1e4
"""A place outside any picture."""
ROW = 16384
"""Samples in a row of OpenCV's map, which may hold 32,767 to a side."""
RIGHT_WITHIN = 0.05
"""A carried pin is right within this share of the diagonal: the product's own yardstick."""


@dataclass(frozen=True, eq=False)
class PinDepth:
    """Depths along a pin's ray and how well each is borne out.

    Attributes
    ----------
    depths : ndarray of shape (d,), float64
        In the unit of the scene, along the camera's axis.
    posterior : ndarray of shape (d,), float64
        Probability of each depth, sums to 1.
    scores : dict of int to ndarray of shape (d,)
        Patch likeness, -1 to 1, by row of the picture compared.
    best : int
        Index of the most probable depth.
    """

    depths: FloatArray
    posterior: FloatArray
    scores: Mapping[int, FloatArray]
    best: int


def normalise_light(gray: Float32Array | FloatArray, sigma_px: float = LIGHT_SIGMA_PX) -> Float32Array:
    """The picture with local brightness and contrast divided out, so that daylight and lamp compare."""
    values = np.asarray(gray, dtype=np.float32)
    mean = cv2.GaussianBlur(values, (0, 0), sigma_px)
    variance = cv2.GaussianBlur(values * values, (0, 0), sigma_px) - mean * mean
    return np.asarray((values - mean) / np.sqrt(np.maximum(variance, 0) + FLAT_VARIANCE), dtype=np.float32)


def patch_offsets(radius_px: float, count: int) -> FloatArray:
    """A square grid of `count` by `count` offsets out to `radius_px`, shape (count * count, 2)."""
    line = np.linspace(-radius_px, radius_px, count)
    return np.stack(np.meshgrid(line, line), axis=-1).reshape(-1, 2)


def sample(image: Float32Array, points_px: FloatArray) -> Float32Array:
    """Bilinear values at points (..., 2); NaN outside the picture."""
    flat = points_px.reshape(-1, 2).astype(np.float32)
    flat = np.where(np.isfinite(flat), flat, OUTSIDE_PX)
    rows = -(-len(flat) // ROW)
    padded = np.full((rows * ROW, 2), OUTSIDE_PX, np.float32)
    padded[: len(flat)] = flat
    grid = padded.reshape(rows, ROW, 2)
    values = cv2.remap(
        image, grid[..., 0], grid[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=float("nan")
    )
    return np.asarray(values.reshape(-1)[: len(flat)].reshape(points_px.shape[:-1]), dtype=np.float32)


def patch_likeness(template: Float32Array, patches: Float32Array) -> FloatArray:
    """Zero-mean normalised correlation of a patch (p,) with patches (d, p); -1 where a patch leaves the picture."""
    centred = template - template.mean()
    others = patches - patches.mean(axis=1, keepdims=True)
    norm = np.linalg.norm(centred) * np.linalg.norm(others, axis=1) + LEAST_NORM
    with np.errstate(invalid="ignore"):
        likeness = (others @ centred) / norm
    return np.where(np.isfinite(likeness), likeness, -1.0)


def sparse_depths(scene: Scene, row: int, pin_px: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Depths of the nearest sparse points of a picture, and their distance from the pin in the picture, pixels."""
    camera = scene.camera(row)
    points = scene.points[scene.sightings[scene.sightings[:, 0] == row, 2]]
    distance = np.linalg.norm(camera.project(points) - pin_px, axis=1)
    keep = np.argsort(distance, kind="stable")[:NEIGHBOURS]
    return camera.depths(points[keep]), distance[keep]


def belief_in_place(depth: PinDepth, places_px: FloatArray, diagonal_px: float) -> float:
    """How much of the posterior, 0 to 1, agrees with the most probable place within what counts as right.

    Parameters
    ----------
    depth : PinDepth
    places_px : ndarray of shape (d, 2), float64
        Where each of its depths shows in another picture.
    diagonal_px : float
        Of that picture.
    """
    close = np.linalg.norm(places_px - places_px[depth.best], axis=1) < RIGHT_WITHIN * diagonal_px
    return float(depth.posterior[close].sum())


def estimate_depth(
    scene: Scene, row: int, pin_px: FloatArray, images: Mapping[int, Float32Array], *, sharpness: float = SHARPNESS
) -> PinDepth | None:
    """Depth of a pin of picture `row`.

    Parameters
    ----------
    scene : Scene
    row : int
        Row of the pin's picture in the scene.
    pin_px : ndarray of shape (2,), float64
    images : mapping of row to ndarray of shape (h, w), float32
        Light-normalised pictures at matching size; the pin's own must be among them.
    sharpness : float
        How strongly a patch's likeness speaks.

    Returns
    -------
    PinDepth or None
        None where no sparse point gives the order of magnitude.
    """
    near, distance = sparse_depths(scene, row, pin_px)
    if len(near) < LEAST_NEIGHBOURS:
        return None
    camera = scene.camera(row)
    others = {other: scene.camera(other) for other in range(len(scene.picture_ids))}
    depths = _depth_steps(camera, list(others.values()), pin_px, near)
    scores = {
        other: _sweep(camera, others[other], images[row], image, pin_px, depths)
        for other, image in images.items()
        if other != row
    }
    log = np.log(_sparse_prior(depths, near, distance, camera.diagonal_px))
    for likeness in scores.values():
        log = log + np.log(UNSEEN + np.exp(sharpness * (np.clip(likeness, 0, 1) - EVEN_AT)))
    posterior = np.exp(log - log.max())
    posterior /= posterior.sum()
    return PinDepth(depths, posterior, scores, int(posterior.argmax()))


def _depth_steps(
    camera: PinholeCamera, all_cameras: Sequence[PinholeCamera], pin_px: FloatArray, near: FloatArray
) -> FloatArray:
    """Depths so close together that no picture sees a step of more than STEP_PX, evenly in inverse depth."""
    low, high = np.percentile(near, DEEP_PERCENTILES)
    inverse = np.array([1 / (high * FARTHER), 1 / (low * NEARER)])
    ends = camera.lift(pin_px[None], 1 / inverse)[:, 0]
    moves = [np.linalg.norm(np.diff(other.project(ends), axis=0)) for other in all_cameras]
    longest = max([float(m) for m in moves if np.isfinite(m)], default=UNSEEN_MOVE_PX)
    count = int(np.clip(longest / STEP_PX, STEPS_LEAST, STEPS_MOST))
    return np.asarray(1 / np.linspace(inverse[0], inverse[1], count))


def _sweep(
    camera: PinholeCamera,
    other: PinholeCamera,
    image: Float32Array,
    other_image: Float32Array,
    pin_px: FloatArray,
    depths: FloatArray,
) -> FloatArray:
    """Mean patch likeness over a small and a large patch at each depth."""
    total = np.zeros(len(depths))
    for reach, count in PATCHES:
        around = pin_px + patch_offsets(reach * camera.diagonal_px, count)
        template = sample(image, around)
        if not np.isfinite(template).all():
            template = np.nan_to_num(template)
        places = other.project(camera.lift(around, depths))
        total += patch_likeness(template, sample(other_image, places))
    return total / len(PATCHES)


def _sparse_prior(depths: FloatArray, near: FloatArray, distance: FloatArray, diagonal: float) -> FloatArray:
    """Density of the neighbours' inverse depths, nearer ones weighing more, over an even floor."""
    weights = 1 / (1 + (distance / (NEIGHBOUR_REACH * diagonal)) ** 2)
    offset = (near[None] / depths[:, None] - 1) / DEPTH_SPREAD
    density = (np.exp(-0.5 * offset**2) * weights).sum(axis=1) / weights.sum()
    return np.asarray(FLOOR + density)
