"""What surrounds joints in two pictures, laid into one frame, and how much of it each picture answers of the other.

Around every joint lies a square grid of places, in the frame of BEFORE. The scene, or the overall turn and growth, says
where each place of it lies in AFTER. A place is answered when something within reach of where it must be looks like it,
so that light and a hose that lies a little differently cost little.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from asfound.core.match.arrays import Float32Array, FloatArray, GrayImage, RgbImage
from asfound.core.match.camera import PinholeCamera
from asfound.core.match.pixels import Size
from asfound.core.match.scene import Scene
from asfound.core.match.sift import LEAST_SUM, SIFT_WIDTH, even_light

INNER, MARGIN = 9, 2
"""Places to a side of the grid that are asked about, and how many places around each an answer may lie."""
ACROSS = INNER + 2 * MARGIN
STEPS = {"wide": 0.02, "close": 0.01}
"""Distance of neighbouring places as a share of the longer side: a joint with its hose end, and the joint alone."""
PATCH = 0.4
"""Size of a descriptor's keypoint in steps of its grid."""
DEPTHS = 96
"""Depths tried along the ray of a joint, evenly in their logarithm. Chosen by hand; not measured."""
DEEP_PERCENTILES = (2, 98)
NEARER, FARTHER = 0.7, 1.4
"""Between these percentiles of the depths of the scene's points, that much nearer and farther, a joint may lie.
Chosen by hand; not measured."""
SMALL_STEP_PX = 8.0
"""A small step: long enough against rounding, short against the curving of a surface. Chosen by hand; not measured."""
LEAST_KEYPOINT_PX = 2.0
"""A descriptor of anything smaller is one of noise. Chosen by hand; not measured."""
SMOOTHED_SHARE = 1 / 6
"""Tints are smoothed by this share of a grid's step, by a pixel at least. Chosen by hand; not measured."""
DARK = 8.0
"""Added to every colour of 0 to 255 before the logarithm, so that noise in the dark makes no tint. Chosen by hand; not
measured."""
MIDDLE_VARIANCE = 0.5
"""Variance of the bell that weighs the places of a grid, whose edge lies at one. Chosen by hand; not measured."""
LEAST_KNOWN = 1 / 3
"""Share of a grid that must show in both pictures. Chosen by hand; not measured."""
WHOLE_TURN_DEG = 360.0


@dataclass(frozen=True, eq=False)
class Laid:
    """Grids around n joints as one picture shows them.

    Attributes
    ----------
    looks : ndarray of shape (n, ACROSS, ACROSS, 128), float32
        Unit descriptors, turned with the grid.
    tints : ndarray of shape (n, ACROSS, ACROSS, 2), float32
        Logarithms of red over green and blue over green.
    inside : ndarray of shape (n, ACROSS, ACROSS), bool
        Whether the place lies in the picture.
    """

    looks: Float32Array
    tints: Float32Array
    inside: np.ndarray


def grid_px(step: float, size_px: Size) -> FloatArray:
    """Offsets of the grid's places from its middle in pixels of BEFORE, shape (ACROSS, ACROSS, 2)."""
    line = (np.arange(ACROSS) - ACROSS // 2) * step * max(size_px)
    return np.stack(np.meshgrid(line, line), axis=-1)


def maps_by_scene(scene: Scene, rows: tuple[int, int], here_px: FloatArray, there_px: FloatArray) -> FloatArray:
    """How a small step in BEFORE turns into one in AFTER at joints known in both, by their depth; shape (n, 2, 2).

    The surface is taken to face BEFORE.
    """
    first, second = (scene.camera(row) for row in rows)
    depths = np.geomspace(*_depth_range(first, scene.points), DEPTHS)
    out = np.empty((len(here_px), 2, 2))
    for k, (here, there) in enumerate(zip(here_px, there_px, strict=True)):
        seen = second.project(first.lift(here[None], depths)[:, 0])
        miss = np.nan_to_num(np.linalg.norm(seen - there, axis=1), nan=np.inf)
        depth = depths[[int(miss.argmin())]]
        corners = here + np.array([[0.0, 0.0], [SMALL_STEP_PX, 0.0], [0.0, SMALL_STEP_PX]])
        laid = second.project(first.lift(corners, depth)[0])
        out[k] = np.column_stack([laid[1] - laid[0], laid[2] - laid[0]]) / SMALL_STEP_PX
    return out


def _depth_range(camera: PinholeCamera, points: FloatArray) -> tuple[float, float]:
    """The least and the greatest depth at which a joint is looked for."""
    depths = camera.depths(points)
    ahead = depths[depths > 0]
    low, high = np.percentile(ahead, DEEP_PERCENTILES) if len(ahead) else (1.0, 1.0)
    return NEARER * float(low), FARTHER * float(high)


def lay_grids(
    gray: GrayImage, rgb: RgbImage, centres_px: FloatArray, linear: FloatArray, offsets_px: FloatArray
) -> Laid:
    """Look at the places of grids around joints in one picture.

    Parameters
    ----------
    gray, rgb : ndarray of shape (h, w) and (h, w, 3), uint8
        Of the same size, to which the pixels refer.
    centres_px : ndarray of shape (n, 2)
    linear : ndarray of shape (n, 2, 2)
        From the frame of the grid to this picture.
    offsets_px : ndarray of shape (ACROSS, ACROSS, 2)
        As `grid_px` gives them.
    """
    places = centres_px[:, None, None] + np.einsum("nij,yxj->nyxi", linear, offsets_px)
    height, width = gray.shape
    inside = np.isfinite(places).all(axis=-1) & (places >= 0).all(axis=-1)
    inside &= (places <= np.array([width, height]) - 1.0).all(axis=-1)
    held = np.clip(np.nan_to_num(places), 0, np.array([width, height]) - 1.0)
    step = float(np.abs(offsets_px[0, 1] - offsets_px[0, 0]).max())
    growth = np.sqrt(np.abs(np.linalg.det(linear)))
    turn = np.degrees(np.arctan2(linear[:, 1, 0] - linear[:, 0, 1], linear[:, 0, 0] + linear[:, 1, 1])) % WHOLE_TURN_DEG
    keypoints = [
        cv2.KeyPoint(float(x), float(y), float(max(LEAST_KEYPOINT_PX, PATCH * step * growth[k])), float(turn[k]))
        for k in range(len(centres_px))
        for x, y in held[k].reshape(-1, 2)
    ]
    shape = inside.shape
    if not keypoints:
        return Laid(np.zeros((*shape, SIFT_WIDTH), np.float32), np.zeros((*shape, 2), np.float32), inside)
    looks = np.asarray(cv2.SIFT.create().compute(even_light(gray), keypoints)[1], dtype=np.float32)
    looks /= np.maximum(looks.sum(axis=1, keepdims=True), LEAST_SUM)
    smooth = cv2.GaussianBlur(rgb, (0, 0), max(1.0, step * SMOOTHED_SHARE)).astype(np.float32) + DARK
    at = np.rint(held).astype(int)
    colours = np.log(smooth[at[..., 1], at[..., 0]])
    tints = colours[..., [0, 2]] - colours[..., [1]]
    return Laid(np.sqrt(looks).reshape(*shape, SIFT_WIDTH), tints, inside)


def unanswered(source: Laid, k: int, target: Laid, m: int) -> tuple[FloatArray, FloatArray]:
    """What of joint `k` in one picture finds no like around joint `m` in the other, for each place asked about.

    Returns
    -------
    unlike : ndarray of shape (INNER, INNER)
        0 for a place answered perfectly, 1 for one that nothing within reach resembles; NaN where either is outside.
    off_tint : ndarray of shape (INNER, INNER)
        Least distance in tint to what lies within reach; NaN likewise.
    """
    best = np.full((INNER, INNER), -np.inf)
    nearest = np.full((INNER, INNER), np.inf)
    inner = slice(MARGIN, MARGIN + INNER)
    mine, mine_tint = source.looks[k, inner, inner], source.tints[k, inner, inner]
    for dy in range(2 * MARGIN + 1):
        for dx in range(2 * MARGIN + 1):
            window = slice(dy, dy + INNER), slice(dx, dx + INNER)
            here = target.inside[m][window]
            like = (mine * target.looks[m][window]).sum(axis=-1)
            gap = np.linalg.norm(mine_tint - target.tints[m][window], axis=-1)
            best = np.where(here, np.maximum(best, like), best)
            nearest = np.where(here, np.minimum(nearest, gap), nearest)
    known = source.inside[k, inner, inner] & target.inside[m, inner, inner] & np.isfinite(best)
    return np.where(known, 1 - best, np.nan), np.where(known, nearest, np.nan)


def weights() -> FloatArray:
    """How much each place asked about counts: the joint's middle most, shape (INNER, INNER)."""
    line = (np.arange(INNER) - INNER // 2) / (INNER // 2)
    return np.asarray(np.exp(-0.5 * (line[:, None] ** 2 + line[None] ** 2) / MIDDLE_VARIANCE))


def weighed_mean(values: FloatArray) -> float:
    """Mean of what is known, the middle counting most; NaN where less than a third of the grid is known."""
    known = np.isfinite(values)
    if known.sum() < known.size * LEAST_KNOWN:
        return float("nan")
    weight = weights()[known]
    return float((values[known] * weight).sum() / weight.sum())
