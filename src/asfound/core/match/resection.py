"""Place one picture in a scene: its keypoints against the scene's points.

Look-alike joints make wrong poses that many matches agree on. The right pose also predicts where the other points of
the scene must show, and finds them there; so several poses are tried and judged by their guided matches, spread over
the picture.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from asfound.core.match.arrays import BoolArray, Float32Array, FloatArray, IntArray
from asfound.core.match.camera import PinholeCamera
from asfound.core.match.pixels import Size, cells_held

FIT_PX = 5.0
"""How far a sighting that fits a pose may lie from where its point projects. Chosen by hand; not measured."""
GUIDED_PX = 14.0
"""The same for the first guided matches, while the pose is rough. Chosen by hand; not measured."""
GUIDED_LIKENESS, HIT_LIKENESS = 0.2, 0.32
"""How alike a guided match, and one that bears a pose out, are at least: as many keypoints of any two pictures pass as
passed .17 and .30 with RootSIFT (docs/decisions/0042)."""
POINT_RATIO = 0.92
"""Greatest ratio of distances of a match to a point. Chosen by hand; not measured."""
CELLS = 12
"""Cells to a side of the net over the picture that coverage is counted on."""
THOROUGH = 20000
"""Samples for a pose at most, where time matters less than missing one."""
NO_DISTORTION = np.zeros(4)
"""Of the lens, as OpenCV wants it said."""
LEAST_FITTING = 6
"""Fewer sightings make no pose: three fit one exactly, four choose among the answers. Chosen by hand; not measured."""
SURE = 0.99999
"""How sure a search for a pose is when it stops early. Chosen by hand; not measured."""
UNLIKE = -2
"""Less than any likeness of unit vectors."""
LEAST_DISTANCE = 1e-6
"""Guards the ratio of distances where the second nearest descriptor is the same as the nearest."""
FAR_OFF_PX = 4096
"""Points that project farther from the middle than this cannot meet a keypoint."""
HYPOTHESES = 4
"""Poses tried for a picture. Chosen by hand; not measured."""
STRIDE, OFFSET = 1 << 20, 1 << 10
ABREAST = 3
"""Cells are numbered row by row: more cells to a row than any picture has, and so many that none is
negative; a place and the cells left and right of it are three abreast."""
CHANCE_SHIFTS_PX = np.array([[31.0, 0], [-31, 0], [0, 31], [0, -31], [22, 22], [-22, -22], [22, -22], [-22, 22]])
"""Where points are looked for that the pose does not predict, to tell what chance finds: out of reach of `GUIDED_PX`,
near enough to show as much. Chosen by hand; not measured."""


@dataclass(frozen=True, eq=False)
class PoseEstimate:
    """A picture's pose and what bears it out.

    Attributes
    ----------
    camera : PinholeCamera
    keypoints, points : ndarray of shape (k,), int
        Guided matches: keypoint of the picture, point of the scene.
    coverage : int
        Cells of a 12 by 12 grid over the picture that hold a guided match.
    excess : float
        Points found where the pose predicts them, beyond those found at shifted places, in deviations of chance.
    """

    camera: PinholeCamera
    keypoints: IntArray
    points: IntArray
    coverage: int
    excess: float


def point_likeness(unit_keypoints: Float32Array, unit_sightings: Float32Array, points_of: IntArray) -> Float32Array:
    """Greatest likeness of each keypoint (n) to any sighting of each point (m), shape (n, m), float32.

    `points_of` gives the point, 0 to m - 1, each seen at least once, of each row of `unit_sightings`.
    """
    order = np.argsort(points_of, kind="stable")
    counts = np.bincount(points_of)
    starts = np.cumsum(counts) - counts
    # The points seen most often first: the ones seen k times or more are then one block, compared in one go.
    busiest = np.argsort(-counts, kind="stable")
    best = unit_sightings[order[starts[busiest]]] @ unit_keypoints.T
    for k in range(1, int(counts.max())):
        block = busiest[: int(np.count_nonzero(counts > k))]
        further = unit_sightings[order[starts[block] + k]] @ unit_keypoints.T
        np.maximum(best[: len(block)], further, out=best[: len(block)])
    likeness = np.empty((len(unit_keypoints), len(counts)), np.float32)
    likeness[:, busiest] = best.T
    return likeness


def putative_points(likeness: Float32Array, *, ratio: float = POINT_RATIO) -> IntArray:
    """Mutual best keypoint and point that pass the ratio test, shape (k, 2), surest first, from an (n, m) likeness."""
    if min(likeness.shape) < 2:
        return np.zeros((0, 2), np.int32)
    rows = np.arange(len(likeness))
    best_point = likeness.argmax(axis=1)
    best = likeness[rows, best_point]
    mutual = best == likeness.max(axis=0)[best_point]
    rows, best_point, best = rows[mutual], best_point[mutual], best[mutual]
    rest = likeness[rows]
    rest[np.arange(len(rows)), best_point] = UNLIKE
    quality = (1 - best) / np.maximum(1 - rest.max(axis=1), LEAST_DISTANCE)
    order = np.argsort(quality, kind="stable")
    order = order[quality[order] <= ratio * ratio]
    return np.column_stack([rows[order], best_point[order]])


def estimate_pose(
    points: FloatArray, seen_px: FloatArray, focal_px: float, size_px: Size, *, seed: int, iterations: int = THOROUGH
) -> tuple[PinholeCamera, BoolArray] | None:
    """The camera and the sightings that fit it: P3P in a PROSAC loop with MAGSAC scores.

    PROSAC: Chum and Matas, CVPR 2005. Copes with one right match in twenty, where the five-point loop of plain
    `solvePnPRansac` gives up.

    Parameters
    ----------
    points : ndarray of shape (n, 3), float64
    seen_px : ndarray of shape (n, 2), float64
        From the picture's middle; the surest match first.
    """
    if len(points) < LEAST_FITTING:
        return None
    matrix = np.diag([focal_px, focal_px, 1.0])
    try:
        ok, _, turn, shift, inliers = cv2.solvePnPRansac(
            points, seen_px, matrix.copy(), NO_DISTORTION, params=_usac(seed, iterations)
        )
        if not ok or inliers is None or len(inliers) < LEAST_FITTING:
            return None
        chosen = inliers.ravel()
        turn, shift = cv2.solvePnPRefineLM(points[chosen], seen_px[chosen], matrix, None, turn, shift)
    except cv2.error:
        return None
    rotation = np.asarray(cv2.Rodrigues(turn)[0], dtype=np.float64)
    camera = PinholeCamera(rotation, np.asarray(shift.ravel(), dtype=np.float64), focal_px, size_px)
    miss = np.linalg.norm(camera.project_from_middle(points) - seen_px, axis=1)
    return camera, np.asarray(miss < FIT_PX)


def _usac(seed: int, iterations: int) -> cv2.UsacParams:
    """How OpenCV is to sample and to score poses."""
    params = cv2.UsacParams()
    params.sampler, params.score = cv2.SAMPLING_PROSAC, cv2.SCORE_METHOD_MAGSAC
    params.loMethod = cv2.LOCAL_OPTIM_INNER_LO
    params.maxIterations, params.confidence = iterations, SURE
    params.threshold, params.randomGeneratorState = FIT_PX, seed
    return params


def find_pose(
    points: FloatArray,
    likeness: Float32Array,
    keypoints_px: FloatArray,
    size_px: Size,
    focal_px: float,
    *,
    extra: IntArray | None = None,
    seed: int,
    hypotheses: int = HYPOTHESES,
    iterations: int = THOROUGH,
) -> PoseEstimate | None:
    """The pose that predicts most of what the picture shows.

    Parameters
    ----------
    points : ndarray of shape (m, 3), float64
    likeness : ndarray of shape (n, m), float32
        As `point_likeness` gives it.
    keypoints_px : ndarray of shape (n, 2), float64
        From the picture's middle.
    extra : ndarray of shape (k, 2), int, or None
        Matches (keypoint, point) known from comparing pictures.
    hypotheses, iterations : int
        Poses to try, and samples for each at most.
    """
    pairs = putative_points(likeness)
    if extra is not None and len(extra):
        _, first = np.unique(np.concatenate([extra, pairs]), axis=0, return_index=True)
        pairs = np.concatenate([extra, pairs])[np.sort(first)]
    best: PoseEstimate | None = None
    for k in range(hypotheses):
        shown, seen_px = points[pairs[:, 1]], keypoints_px[pairs[:, 0]]
        found = estimate_pose(shown, seen_px, focal_px, size_px, seed=seed + k, iterations=iterations)
        if found is None:
            break
        camera, fits = found
        checked = check_pose(points, likeness, keypoints_px, camera, seed=seed)
        if checked is not None and (best is None or checked.excess > best.excess):
            best = checked
        pairs = pairs[~fits]
    return best


def check_pose(
    points: FloatArray, likeness: Float32Array, keypoints_px: FloatArray, camera: PinholeCamera, *, seed: int
) -> PoseEstimate | None:
    """Refine a pose by guided matching, twice, and count what bears it out; None when guided matches give no pose."""
    reach = GUIDED_PX
    for _ in range(2):
        pairs = guided_points(points, likeness, keypoints_px, camera, reach_px=reach)
        shown, seen_px = points[pairs[:, 1]], keypoints_px[pairs[:, 0]]
        found = estimate_pose(shown, seen_px, camera.focal_px, camera.size_px, seed=seed)
        if found is None:
            return None
        camera, fits = found
        reach = FIT_PX
    pairs = pairs[fits]
    # Half of the extent: from its middle the picture reaches so far to either side.
    half = np.array(camera.size_px) / 2
    coverage = cells_held((keypoints_px[pairs[:, 0]] + half) / (2 * half), CELLS)
    places = camera.project_from_middle(points)
    places[(np.abs(places) > half).any(axis=1)] = np.nan
    hits = _hits(places, likeness, keypoints_px)
    chance = float(np.mean([_hits(places + shift, likeness, keypoints_px) for shift in CHANCE_SHIFTS_PX]))
    excess = (hits - chance) / np.sqrt(chance + 1)
    return PoseEstimate(camera, pairs[:, 0], pairs[:, 1], coverage, float(excess))


def _hits(places_px: FloatArray, likeness: Float32Array, keypoints_px: FloatArray) -> int:
    """How many points find a keypoint very like them near their places (m, 2), pixels from the middle, NaN outside."""
    seen = np.flatnonzero(np.isfinite(places_px).all(axis=1))
    near_keypoint, near_point = _near(keypoints_px, places_px[seen], FIT_PX)
    like = likeness[near_keypoint, seen[near_point]] > HIT_LIKENESS
    return len(np.unique(near_point[like]))


def guided_points(
    points: FloatArray,
    likeness: Float32Array,
    keypoints_px: FloatArray,
    camera: PinholeCamera,
    *,
    reach_px: float,
) -> IntArray:
    """Mutual best keypoint and point among those that lie within `reach_px` of each other once projected, (k, 2)."""
    places = camera.project_from_middle(points)
    seen = np.flatnonzero(np.isfinite(places).all(axis=1) & (np.abs(places) < FAR_OFF_PX).all(axis=1))
    if not len(seen) or not len(keypoints_px):
        return np.zeros((0, 2), np.int64)
    near_keypoint, near_point = _near(keypoints_px, places[seen], reach_px)
    near_point = seen[near_point]
    values = likeness[near_keypoint, near_point]
    keep = values > GUIDED_LIKENESS
    near_keypoint, near_point, values = near_keypoint[keep], near_point[keep], values[keep]
    best_keypoint = np.full(len(keypoints_px), -1.0, np.float32)
    best_point = np.full(len(points), -1.0, np.float32)
    np.maximum.at(best_keypoint, near_keypoint, values)
    np.maximum.at(best_point, near_point, values)
    mutual = (values == best_keypoint[near_keypoint]) & (values == best_point[near_point])
    pairs = np.column_stack([near_keypoint[mutual], near_point[mutual]])
    _, first = np.unique(pairs[:, 1], return_index=True)
    return pairs[first]


def _near(first: FloatArray, second: FloatArray, reach_px: float) -> tuple[IntArray, IntArray]:
    """Index pairs of points of two sets that lie within `reach_px`: the first set is sorted into cells that wide."""
    cells = np.floor(first / reach_px).astype(np.int64) + OFFSET
    keys = cells[:, 1] * STRIDE + cells[:, 0]
    order = np.argsort(keys, kind="stable")
    keys = keys[order]
    wanted = np.floor(second / reach_px).astype(np.int64) + OFFSET
    rows, columns = [], []
    for down in (-1, 0, 1):
        low = (wanted[:, 1] + down) * STRIDE + wanted[:, 0] - 1
        start, stop = np.searchsorted(keys, low), np.searchsorted(keys, low + ABREAST)
        counts = stop - start
        column = np.repeat(np.arange(len(second)), counts)
        within = np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)
        rows.append(order[start[column] + within])
        columns.append(column)
    row, column = np.concatenate(rows), np.concatenate(columns)
    close = ((first[row] - second[column]) ** 2).sum(axis=1) < reach_px**2
    return row[close], column[close]
