"""Incremental structure from motion over the pictures of a spot or a bay (Schoenberger and Frahm, CVPR 2016).

Focal lengths come from what the pictures say and are only trimmed, so two views suffice to start.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import cv2
import numpy as np

from asfound.core.match.arrays import BoolArray, Float32Array, FloatArray, IntArray
from asfound.core.match.bundle import Bundle, adjust_bundle
from asfound.core.match.camera import to_own_frames
from asfound.core.match.features import normalised_descriptors
from asfound.core.match.likeness import Likeness
from asfound.core.match.pixels import from_middle
from asfound.core.match.resection import THOROUGH, PoseEstimate, find_pose, point_likeness
from asfound.core.match.scene_model import Scene, ScenePicture, empty_scene
from asfound.core.match.tracks import build_tracks, reliable_matches
from asfound.core.match.triangulate import triangulate_points

LEAST_MATCHES = 15
"""Fewer agreeing matches of two pictures make no tracks. Chosen by hand; not measured."""
LEAST_PLACED = 10
"""Fewer known points place no picture. Chosen by hand; not measured."""
LEAST_COVERAGE = 12
LEAST_EXCESS = 6.5
"""From so many cells held, and so far above chance, a pose holds: right ones 6 to 24, wrong ones nearly all below 6
(docs/decisions/0011)."""
FIT_PX = 5.0
"""How far a sighting that fits may lie from where its point projects. Chosen by hand; not measured."""
LEAST_ANGLE_DEG = 1.5
"""A point seen under a smaller angle has no depth worth having. Chosen by hand; not measured."""
STARTS_TRIED = 40
"""Pairs of pictures tried as a start, those with the most matches. Chosen by hand; not measured."""
LEAST_START = 20
"""Points that a start has in front of both cameras at least. Chosen by hand; not measured."""
START_TOLERANCE_PX = 1.5
START_SURE = 0.9999
"""How far a match of a start may lie from its epipolar line, and how sure the estimate is when it stops. Chosen by
hand; not measured."""
WIDE_ENOUGH_DEG = 15.0
"""A base wider than this makes a start no better. Chosen by hand; not measured."""
LOOSE = 4
"""Sightings are first sorted out at so many times `FIT_PX`, since the first points lie roughly. Chosen by hand; not
measured."""
SETTLE_AFTER = 6
"""The bundle is adjusted whenever a sixth of the placed pictures is new. Chosen by hand; not measured."""
START_ROUNDS, GROW_ROUNDS, LAST_ROUNDS = 8, 5, 15
"""Steps of the bundle adjustment at most: of a start, while growing, and twice at the end. Chosen by hand; not
measured."""


@dataclass(eq=False)
class Model:
    """A scene while it is being built; a picture's row is its place in the list that `start_model` was given.

    Attributes
    ----------
    focals_px : ndarray of shape (n,), float64
    sizes_px : ndarray of shape (n, 2), int32
    sightings : ndarray of shape (k, 3), int
        Row of the picture, keypoint of it, track.
    seen_px : ndarray of shape (k, 2), float64
        Where each sighting lies, from the picture's middle.
    keypoints_px : list of ndarray of shape (., 2), float64
        All keypoints of each picture, from its middle.
    units : list of ndarray of shape (., d), float32
        Their descriptors, of length one.
    seed : int
        Of the robust estimates.
    placed : list of int
        Rows in the order in which they were placed.
    rotations, translations : ndarray of shape (n, 3, 3) and (n, 3), float64
        Scene to camera; NaN where not placed.
    points : ndarray of shape (m, 3), float64
        By track; NaN where it has no point.
    good : ndarray of shape (k,), bool
        Which sightings fit their points.
    """

    focals_px: FloatArray
    sizes_px: IntArray
    sightings: IntArray
    seen_px: FloatArray
    keypoints_px: list[FloatArray]
    units: list[Float32Array]
    seed: int
    placed: list[int] = field(default_factory=list)
    rotations: FloatArray = field(init=False)
    translations: FloatArray = field(init=False)
    points: FloatArray = field(init=False)
    good: BoolArray = field(init=False)

    def __post_init__(self) -> None:
        count = len(self.focals_px)
        self.rotations = np.full((count, 3, 3), np.nan)
        self.translations = np.full((count, 3), np.nan)
        self.points = np.full((int(self.sightings[:, 2].max(initial=-1)) + 1, 3), np.nan)
        self.good = np.zeros(len(self.sightings), dtype=np.bool_)


def reconstruct(
    pictures: Sequence[ScenePicture], likenesses: Mapping[tuple[int, int], Likeness], *, seed: int
) -> Scene:
    """Build the scene of the pictures that can be placed; empty when no two give depth.

    `likenesses` holds pairs in either order of their ids, each from the first to the second; pairs with other pictures
    are passed over. The same `seed` gives the same scene.
    """
    model = start_model(pictures, likenesses, seed)
    if not begin(model, pictures, likenesses):
        return empty_scene()
    grow(model)
    return finish(model, pictures)


def start_model(pictures: Sequence[ScenePicture], likenesses: Mapping[tuple[int, int], Likeness], seed: int) -> Model:
    """A model with the tracks of all pictures and nothing placed."""
    rows = {picture.picture_id: k for k, picture in enumerate(pictures)}
    matches = {
        (rows[a], rows[b]): reliable_matches(likeness, LEAST_MATCHES)
        for (a, b), likeness in likenesses.items()
        if a in rows and b in rows
    }
    sizes = np.array([p.features.size_px for p in pictures], dtype=np.int32).reshape(-1, 2)
    focals = np.array([p.focal_px for p in pictures], dtype=np.float64)
    sightings = build_tracks([len(p.features) for p in pictures], matches)
    keypoints = [from_middle(p.features.points_px, p.features.size_px) for p in pictures]
    seen = np.array([keypoints[row][k] for row, k, _ in sightings], dtype=np.float64).reshape(-1, 2)
    units = [normalised_descriptors(p.features) for p in pictures]
    return Model(focals, sizes, sightings, seen, keypoints, units, seed)


def begin(model: Model, pictures: Sequence[ScenePicture], likenesses: Mapping[tuple[int, int], Likeness]) -> bool:
    """Place the two pictures that make the best start: many matches, seen from clearly different places."""
    rows = {picture.picture_id: k for k, picture in enumerate(pictures)}
    order = sorted(
        (-likeness.agreeing, rows[a], rows[b])
        for (a, b), likeness in likenesses.items()
        if a in rows and b in rows and likeness.agreeing >= 2 * LEAST_MATCHES
    )
    best: tuple[float, int, int, FloatArray, FloatArray] | None = None
    for _, a, b in order[:STARTS_TRIED]:
        pose = _two_views(model, a, b)
        if pose is not None and (best is None or pose[0] > best[0]):
            best = (pose[0], a, b, pose[1], pose[2])
    if best is None:
        return False
    _, a, b, rotation, translation = best
    model.rotations[a], model.translations[a] = np.eye(3), np.zeros(3)
    model.rotations[b], model.translations[b] = rotation, translation
    model.placed = [a, b]
    retriangulate(model)
    settle(model, iterations=START_ROUNDS)
    return True


def _two_views(model: Model, a: int, b: int) -> tuple[float, FloatArray, FloatArray] | None:
    """How good a start a pair is, points times degrees of base, and rotation and translation of the second camera.

    None where the pair gives no start.
    """
    seen_a, seen_b, _ = _shared(model, a, b)
    if len(seen_a) < LEAST_START:
        return None
    rays_a, rays_b = seen_a / model.focals_px[a], seen_b / model.focals_px[b]
    cv2.setRNGSeed(model.seed)
    try:
        essential, mask = cv2.findEssentialMat(
            rays_a,
            rays_b,
            np.eye(3),
            method=cv2.USAC_MAGSAC,
            prob=START_SURE,
            threshold=START_TOLERANCE_PX / model.focals_px[a],
        )
        if essential is None or essential.shape != (3, 3):
            return None
        _, rotation, translation, mask = cv2.recoverPose(essential, rays_a, rays_b, np.eye(3), mask=mask)
    except cv2.error:
        return None
    ok = mask.ravel() > 0
    directions_a = _unit(rays_a[ok])
    directions_b = _unit(rays_b[ok]) @ rotation
    angles = np.degrees(np.arccos(np.clip((directions_a * directions_b).sum(axis=1), -1, 1)))
    if ok.sum() < LEAST_START:
        return None
    # Both many points and a wide base.
    centre = -rotation.T @ translation.ravel()
    along = directions_a @ centre
    base = np.degrees(np.median(np.arcsin(np.clip(np.sin(np.radians(angles)), 0, 1)))) if len(angles) else 0.0
    value = ok.sum() * min(float(base), WIDE_ENOUGH_DEG) if np.isfinite(along).all() else 0.0
    return float(value), np.asarray(rotation), np.asarray(translation.ravel())


def _shared(model: Model, a: int, b: int) -> tuple[FloatArray, FloatArray, IntArray]:
    """Sightings of the k tracks that both pictures see: pixels from the middle in a, in b, (k, 2), and track, (k,)."""
    of_a, of_b = (np.flatnonzero(model.sightings[:, 0] == row) for row in (a, b))
    tracks, in_a, in_b = np.intersect1d(
        model.sightings[of_a, 2], model.sightings[of_b, 2], assume_unique=True, return_indices=True
    )
    return model.seen_px[of_a[in_a]], model.seen_px[of_b[in_b]], tracks


def _unit(rays: FloatArray) -> FloatArray:
    """Directions of length one, shape (n, 3), of rays (n, 2) at depth one."""
    full = np.column_stack([rays, np.ones(len(rays))])
    return np.asarray(full / np.linalg.norm(full, axis=1, keepdims=True))


def retriangulate(model: Model) -> None:
    """Work out all points anew from the sightings in placed pictures; `good` marks the sightings that fit after it."""
    active = np.isin(model.sightings[:, 0], model.placed)
    rows = np.flatnonzero(active)
    _fill_points(model, rows)
    for limit in (LOOSE * FIT_PX, FIT_PX):
        fits = np.zeros(len(model.sightings), dtype=np.bool_)
        fits[rows] = misfit_px(model, rows) < limit
        _fill_points(model, np.flatnonzero(fits))
    model.good = np.zeros(len(model.sightings), dtype=np.bool_)
    model.good[rows] = misfit_px(model, rows) < FIT_PX
    views = np.bincount(model.sightings[model.good, 2], minlength=len(model.points))
    model.points[views < 2] = np.nan
    model.good &= views[model.sightings[:, 2]] >= 2


def _fill_points(model: Model, rows: IntArray) -> None:
    """Triangulate every track from the sightings of `rows`; NaN where they leave its depth open."""
    pictures, tracks = model.sightings[rows, 0], model.sightings[rows, 2]
    local = _unit(model.seen_px[rows] / model.focals_px[pictures, None])
    rotation = model.rotations[pictures]
    directions = np.einsum("kji,kj->ki", rotation, local)
    centres = -np.einsum("kji,kj->ki", rotation, model.translations[pictures])
    points, angles = triangulate_points(centres, directions, tracks, len(model.points))
    points[angles < LEAST_ANGLE_DEG] = np.nan
    model.points = points


def misfit_px(model: Model, rows: IntArray) -> FloatArray:
    """Pixels between the sightings of `rows` and where their points project; infinite behind or without one."""
    pictures, tracks = model.sightings[rows, 0], model.sightings[rows, 2]
    local = to_own_frames(model.rotations[pictures], model.translations[pictures], model.points[tracks])
    with np.errstate(divide="ignore", invalid="ignore"):
        flat = local[:, :2] / local[:, 2:] * model.focals_px[pictures, None]
        miss = np.linalg.norm(flat - model.seen_px[rows], axis=1)
    return np.where(np.isfinite(miss) & (local[:, 2] > 0), miss, np.inf)


def settle(model: Model, *, iterations: int) -> None:
    """Adjust the bundle of what is placed, then work out points and good sightings anew."""
    rows = np.flatnonzero(model.good)
    tracks, points_of = np.unique(model.sightings[rows, 2], return_inverse=True)
    placed = np.array(model.placed)
    where = np.full(len(model.focals_px), -1)
    where[placed] = np.arange(len(placed))
    bundle = Bundle(
        model.rotations[placed],
        model.translations[placed],
        model.focals_px[placed],
        model.points[tracks],
        where[model.sightings[rows, 0]],
        points_of,
        model.seen_px[rows],
    )
    bundle = adjust_bundle(bundle, iterations=iterations)
    model.rotations[placed], model.translations[placed] = bundle.rotations, bundle.translations
    model.focals_px[placed] = bundle.focals_px
    retriangulate(model)


def grow(model: Model) -> None:
    """Place one picture after the other, the one with most sightings of known points first."""
    waiting = [row for row in range(len(model.focals_px)) if row not in model.placed]
    since = 0
    while waiting:
        counts = known_sightings(model)
        waiting.sort(key=lambda row: (-counts[row], row))
        row = next((row for row in waiting if place_picture(model, row)), None)
        if row is None:
            break
        waiting.remove(row)
        since += 1
        if since >= max(1, len(model.placed) // SETTLE_AFTER):
            settle(model, iterations=GROW_ROUNDS)
            since = 0
    settle(model, iterations=LAST_ROUNDS)
    settle(model, iterations=LAST_ROUNDS)


def known_sightings(model: Model) -> IntArray:
    """How many sightings of known points each picture has by its matches."""
    known = np.isfinite(model.points[:, 0])[model.sightings[:, 2]]
    return np.bincount(model.sightings[known, 0], minlength=len(model.focals_px))


def place_picture(model: Model, row: int) -> bool:
    """Place a picture by its keypoints against the points; whether that holds. Its guided matches become sightings."""
    known, points_of = np.unique(model.sightings[model.good, 2], return_inverse=True)
    if len(known) < LEAST_PLACED:
        return False
    seen = np.flatnonzero(model.good)
    descriptors = _sighted_descriptors(model.units, model.sightings[seen])
    likeness = point_likeness(model.units[row], descriptors, points_of)
    mine = np.flatnonzero((model.sightings[:, 0] == row) & np.isin(model.sightings[:, 2], known))
    extra = np.column_stack([model.sightings[mine, 1], np.searchsorted(known, model.sightings[mine, 2])])
    pose = find_pose(
        model.points[known],
        likeness,
        model.keypoints_px[row],
        (int(model.sizes_px[row, 0]), int(model.sizes_px[row, 1])),
        float(model.focals_px[row]),
        extra=extra,
        seed=model.seed,
    )
    if pose is None or not holds(pose):
        return False
    model.rotations[row], model.translations[row] = pose.camera.rotation, pose.camera.translation
    model.placed.append(row)
    add_sightings(model, row, pose.keypoints, known[pose.points])
    retriangulate(model)
    return True


def _sighted_descriptors(units: Sequence[Float32Array], sightings: IntArray) -> Float32Array:
    """The descriptor of every sighting, shape (k, d), from those of all keypoints of each picture."""
    out = np.empty((len(sightings), units[0].shape[1]), np.float32)
    for row, unit in enumerate(units):
        mine = sightings[:, 0] == row
        out[mine] = unit[sightings[mine, 1]]
    return out


def holds(pose: PoseEstimate) -> bool:
    """Whether so much is found where the pose predicts it that chance cannot be the reason."""
    return pose.coverage >= LEAST_COVERAGE and pose.excess >= LEAST_EXCESS


def add_sightings(model: Model, row: int, keypoints: IntArray, tracks: IntArray) -> None:
    """Guided matches of a picture take the place of what its sightings said of the same points and keypoints."""
    mine = model.sightings[:, 0] == row
    stale = mine & (np.isin(model.sightings[:, 2], tracks) | np.isin(model.sightings[:, 1], keypoints))
    added = np.column_stack([np.full(len(tracks), row), keypoints, tracks])
    model.sightings = np.concatenate([model.sightings[~stale], added])
    model.seen_px = np.concatenate([model.seen_px[~stale], model.keypoints_px[row][keypoints]])
    model.good = np.zeros(len(model.sightings), dtype=np.bool_)


def place_in_scene(
    scene: Scene, pictures: Sequence[ScenePicture], picture: ScenePicture, *, seed: int = 1
) -> Scene | None:
    """The scene with one more picture placed in it, None where that does not hold.

    Parameters
    ----------
    scene : Scene
    pictures : sequence of ScenePicture
        At least those that the scene places.
    picture : ScenePicture
        Its place is told from its features alone; `picture_id` must not be in the scene yet.
    """
    pose = locate_picture(scene, pictures, picture, seed=seed)
    if pose is None or not holds(pose):
        return None
    row = len(scene.picture_ids)
    added = np.column_stack([np.full(len(pose.points), row), pose.keypoints, pose.points])
    return Scene(
        np.append(scene.picture_ids, np.int32(picture.picture_id)),
        np.concatenate([scene.rotations, pose.camera.rotation[None]]),
        np.concatenate([scene.translations, pose.camera.translation[None]]),
        np.append(scene.focals_px, pose.camera.focal_px),
        np.concatenate([scene.sizes_px, np.array([pose.camera.size_px], np.int32)]),
        np.append(scene.support, np.int32(len(pose.points))),
        scene.points,
        np.concatenate([scene.sightings, added.astype(np.int32)]),
    )


def locate_picture(
    scene: Scene, pictures: Sequence[ScenePicture], picture: ScenePicture, *, seed: int = 1, iterations: int = THOROUGH
) -> PoseEstimate | None:
    """The best pose of a picture in a scene, whether it `holds` or not; None where there is nothing to try."""
    if not len(scene.points):
        return None
    units = {p.picture_id: normalised_descriptors(p.features) for p in pictures}
    descriptors = _sighted_descriptors([units[int(i)] for i in scene.picture_ids], scene.sightings)
    likeness = point_likeness(normalised_descriptors(picture.features), descriptors, scene.sightings[:, 2])
    size = picture.features.size_px
    keypoints = from_middle(picture.features.points_px, size)
    return find_pose(scene.points, likeness, keypoints, size, picture.focal_px, seed=seed, iterations=iterations)


def finish(model: Model, pictures: Sequence[ScenePicture]) -> Scene:
    """The model as a frozen scene: only placed pictures and points with good sightings."""
    placed = np.array(sorted(model.placed))
    rows = np.flatnonzero(model.good)
    tracks, points_of = np.unique(model.sightings[rows, 2], return_inverse=True)
    where = np.full(len(pictures), -1)
    where[placed] = np.arange(len(placed))
    sightings = np.column_stack([where[model.sightings[rows, 0]], model.sightings[rows, 1], points_of])
    return Scene(
        np.array([pictures[row].picture_id for row in placed], np.int32),
        model.rotations[placed],
        model.translations[placed],
        model.focals_px[placed],
        model.sizes_px[placed],
        np.bincount(sightings[:, 0], minlength=len(placed)).astype(np.int32),
        model.points[tracks],
        sightings.astype(np.int32),
    )
