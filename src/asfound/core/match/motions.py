"""Groups of matches that move together: the machine, what stands around it, a part that was moved.

Two pictures of a machine that was turned on its stand share the floor and the machine, and both move otherwise. The
first motion is found among all matches and each further one among those left over, as in sequential RANSAC (Torr,
Geometric motion segmentation and model selection, 1998); what is left over must move like its neighbours first, so that
chance is not taken for a motion.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import BoolArray, FloatArray, IntArray
from asfound.core.match.geometry import (
    EPIPOLAR_TOLERANCE,
    HOMOGRAPHY_TOLERANCE,
    estimate_fundamental,
    estimate_homography,
    neighbours_agree,
)
from asfound.core.match.pixels import Size, frac_from_px

LEAST_GROUP = 12
"""Fewer matches are no motion of their own beside another. Chosen by hand: 19 pairs of photographs of moved things
gave each moved thing its group with it (docs/decisions/0045)."""
MOST_GROUPS = 4
FLOOR = 0.01
"""Misses below this share of the diagonal never speak against a match: chosen by hand; not measured."""
CELLS = 8
"""Cells to a side of a picture in which groups are counted for what the picture aims at."""
AIM_SPREAD = 0.15
"""How far from the middle, in sides of the picture, a cell tells of what it aims at: one standard deviation. Chosen by
hand; not measured."""


@dataclass(frozen=True, eq=False)
class Motion:
    """Matches of two pictures that move together.

    Attributes
    ----------
    members : ndarray of shape (k,), int
        Which of the matches move like their neighbours and fit; ascending.
    fitting : ndarray of shape (m,), int
        Which fit the fundamental matrix or the homography.
    inliers, on_plane : int
        How many lie on their epipolar lines, and on one plane.
    fundamental, homography : ndarray of shape (3, 3) or None
    """

    members: IntArray
    fitting: IntArray
    inliers: int
    on_plane: int
    fundamental: FloatArray | None
    homography: FloatArray | None


def find_motions(points_a: FloatArray, points_b: FloatArray, diagonal_px: float, *, seed: int) -> list[Motion]:
    """The groups of matches (n, 2) that move together, in the order found; at least one, which may be empty."""
    found = [_one_motion(points_a, points_b, np.arange(len(points_a)), diagonal_px, seed)]
    left = np.setdiff1d(np.arange(len(points_a)), found[0].members)
    while len(found) < MOST_GROUPS and len(found[0].members) >= LEAST_GROUP:
        left = left[neighbours_agree(points_a[left], points_b[left], floor_px=FLOOR * diagonal_px)]
        motion = _one_motion(points_a, points_b, left, diagonal_px, seed)
        if len(motion.members) < LEAST_GROUP:
            break
        found.append(motion)
        left = np.setdiff1d(left, motion.members)
    return found


def by_aim(motions: list[Motion], points: tuple[FloatArray, FloatArray], sizes_px: tuple[Size, Size]) -> list[Motion]:
    """The motions in the order in which they hold what the pictures aim at; of equals the one found first.

    A cell of a picture counts for the motion that has most matches in it, however many they are: a garden bed has
    hundreds, the block before it dozens.
    """
    if len(motions) < 2:
        return motions
    weights = _cell_weights()
    held = np.zeros(len(motions))
    for side, size in zip(points, sizes_px, strict=True):
        counts = np.stack([_cell_counts(side[motion.members], size) for motion in motions])
        winner = counts.argmax(axis=0)
        for k in range(len(motions)):
            held[k] += weights[(winner == k) & (counts[k] > 0)].sum()
    return [motions[k] for k in np.argsort(-held, kind="stable")]


def _one_motion(points_a: FloatArray, points_b: FloatArray, among: IntArray, diagonal_px: float, seed: int) -> Motion:
    """The motion that most of some matches follow."""
    here, there = points_a[among], points_b[among]
    homography, on_plane = estimate_homography(here, there, HOMOGRAPHY_TOLERANCE * diagonal_px, seed=seed)
    fundamental, on_line = estimate_fundamental(here, there, EPIPOLAR_TOLERANCE * diagonal_px, seed=seed)
    fits = on_plane | on_line
    agrees = _agreeing(here[fits], there[fits], FLOOR * diagonal_px)
    fitting = among[fits]
    return Motion(fitting[agrees], fitting, int(on_line.sum()), int(on_plane.sum()), fundamental, homography)


def _agreeing(points_a: FloatArray, points_b: FloatArray, floor_px: float) -> BoolArray:
    """Two rounds: the first cleans the neighbourhoods that the second judges by."""
    agrees = np.ones(len(points_a), dtype=np.bool_)
    for _ in range(2):
        index = np.flatnonzero(agrees)
        good = neighbours_agree(points_a[index], points_b[index], floor_px=floor_px)
        agrees[index[~good]] = False
    return agrees


def _cell_weights() -> FloatArray:
    """How much each cell tells of what a picture aims at, shape (`CELLS` squared,)."""
    line = ((np.arange(CELLS) + 0.5) / CELLS - 0.5) / AIM_SPREAD
    return np.asarray(np.exp(-0.5 * (line[:, None] ** 2 + line[None] ** 2)).ravel())


def _cell_counts(points_px: FloatArray, size_px: Size) -> IntArray:
    """How many of the points (n, 2) lie in each cell, shape (`CELLS` squared,)."""
    cells = np.clip((frac_from_px(points_px, size_px) * CELLS).astype(np.int64), 0, CELLS - 1)
    return np.bincount(cells[:, 1] * CELLS + cells[:, 0], minlength=CELLS * CELLS)
