"""What a place is known by when a photo is asked about: its landmarks, and how they vote on where the photo looks.

The landmarks of a spot are the points of its scene, each with the mean of its descriptors, so that a photo meets one
table for each spot instead of one for each picture. `similarity_votes` says how matches vote.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from asfound.core.match.arrays import Float32Array, IntArray, unit_rows
from asfound.core.match.features import Features, normalised_descriptors
from asfound.core.match.resection import putative_points
from asfound.core.match.scene_model import Scene, ScenePicture, empty_scene
from asfound.core.match.similarity_votes import VoteTolerance, votes_agree

STEPS, MOST_STEPS = 317.0, 127
"""Stored as signed bytes: of a unit descriptor hardly any number passes .4, and .4 of the steps is what a byte
holds."""
PICTURE_LANDMARKS = 2500
"""Keypoints that a picture on its own is known by. Chosen by hand; not measured."""
VOTE_RATIO = 0.84
"""Greatest ratio of distances of a match that votes; set when descriptors were, docs/decisions/0042."""
LEAST_MATCHES = 3
"""Fewer matches with a picture are not counted. Chosen by hand; not measured."""
TOLERANCE = VoteTolerance(turn_deg=25.0, octaves=0.6, apart=0.25)
"""Chosen by hand; not measured."""


@dataclass(frozen=True, eq=False)
class Landmarks:
    """Landmarks of a spot, or of a picture on its own.

    Attributes
    ----------
    scene : Scene
        Whose points the landmarks are; empty for a picture on its own.
    picture_ids : ndarray of shape (n,), int32
    sizes_px : ndarray of shape (n, 2), int32
        Of the pictures at matching size.
    descriptors : ndarray of shape (m, d), int8
        Unit vectors times `STEPS`.
    sightings : ndarray of shape (k, 3), int32
        Row of `picture_ids`, keypoint of that picture, landmark.
    keypoints : ndarray of shape (k, 4), float32
        Of each sighting x, y in pixels, diameter in pixels and angle in degrees.
    """

    scene: Scene
    picture_ids: IntArray
    sizes_px: IntArray
    descriptors: NDArray[np.int8]
    sightings: IntArray
    keypoints: Float32Array

    def likeness(self, unit: Float32Array) -> Float32Array:
        """Likeness of unit descriptors (n, d) to each landmark, shape (n, m)."""
        table = self.descriptors.astype(np.float32)
        return unit @ unit_rows(table).T


@dataclass(frozen=True, eq=False)
class Vote:
    """Matches that agree on how one picture of a place lies in the photo.

    Attributes
    ----------
    row : int
        Of `Landmarks.picture_ids`.
    matches : ndarray of shape (k, 2), int
        Keypoint of the photo, landmark; surest first.
    """

    row: int
    matches: IntArray


def landmarks_of_scene(scene: Scene, pictures: Sequence[ScenePicture]) -> Landmarks:
    """The landmarks of a scene from its pictures, of which at least those that it places are given."""
    features = {picture.picture_id: picture.features for picture in pictures}
    mine = [features[int(picture_id)] for picture_id in scene.picture_ids]
    width = mine[0].descriptors.shape[1] if mine else 0
    sums = np.zeros((len(scene.points), width), np.float32)
    keypoints = np.zeros((len(scene.sightings), 4), np.float32)
    for row, picture in enumerate(mine):
        at = np.flatnonzero(scene.sightings[:, 0] == row)
        index, points = scene.sightings[at, 1], scene.sightings[at, 2]
        np.add.at(sums, points, normalised_descriptors(picture)[index])
        keypoints[at] = picture.rows(index)
    return Landmarks(
        scene, scene.picture_ids, scene.sizes_px, _as_bytes(sums), scene.sightings.astype(np.int32), keypoints
    )


def landmarks_of_picture(picture: ScenePicture) -> Landmarks:
    """The landmarks of a picture on its own: its strongest keypoints."""
    features = picture.features.strongest(PICTURE_LANDMARKS)
    index = np.arange(len(features), dtype=np.int32)
    return Landmarks(
        empty_scene(),
        np.array([picture.picture_id], np.int32),
        np.array([features.size_px], np.int32),
        _as_bytes(normalised_descriptors(features)),
        np.column_stack([np.zeros_like(index), index, index]),
        features.rows(index),
    )


def collect_votes(
    query: Features, likeness: Float32Array, landmarks: Landmarks, *, most: int = 3
) -> tuple[list[Vote], int]:
    """Votes on how the photo shows the place, the largest first, at most one for each picture; and matches in all.

    Parameters
    ----------
    query : Features
    likeness : ndarray of shape (n, m), float32
        As `Landmarks.likeness` gives it for the query's descriptors.
    """
    pairs = putative_points(likeness, ratio=VOTE_RATIO)
    order = np.argsort(pairs[:, 1], kind="stable")
    points, seen = pairs[order, 1], landmarks.sightings[:, 2]
    # A landmark has one match at most, seen in one picture or more.
    at = np.minimum(np.searchsorted(points, seen), max(len(points) - 1, 0))
    matched = np.flatnonzero(points[at] == seen) if len(points) else np.zeros(0, np.int64)
    match = order[at[matched]]
    votes = []
    for row in range(len(landmarks.picture_ids)):
        mine = landmarks.sightings[matched, 0] == row
        if mine.sum() >= LEAST_MATCHES:
            chosen = match[mine]
            size = int(landmarks.sizes_px[row, 0]), int(landmarks.sizes_px[row, 1])
            agree = votes_agree(landmarks.keypoints[matched[mine]], query.rows(pairs[chosen, 0]), size, TOLERANCE)
            votes.append(Vote(row, pairs[np.sort(chosen[agree[int(agree.sum(axis=1).argmax())]])]))
    return sorted(votes, key=lambda vote: (-len(vote.matches), vote.row))[:most], len(pairs)


def _as_bytes(rows: Float32Array) -> NDArray[np.int8]:
    """Rows as unit vectors in `STEPS`, shape as given, int8."""
    return np.asarray(np.clip(np.rint(unit_rows(rows) * STEPS), -MOST_STEPS, MOST_STEPS), dtype=np.int8)


_OWN = ("picture_ids", "sizes_px", "descriptors", "sightings", "keypoints")
_SCENE = ("rotations", "translations", "focals_px", "support", "points")


def pack_landmarks(landmarks: Landmarks) -> bytes:
    """Landmarks with their scene as bytes (a NumPy .npz)."""
    target = io.BytesIO()
    arrays = {name: getattr(landmarks, name) for name in _OWN}
    arrays |= {name: getattr(landmarks.scene, name) for name in _SCENE}
    # Not deflated: reading them is what a person waits for.
    np.savez(target, allow_pickle=False, **arrays)
    return target.getvalue()


def unpack_landmarks(packed: bytes) -> Landmarks:
    """The inverse of `pack_landmarks`; ValueError for other bytes."""
    try:
        with np.load(io.BytesIO(packed), allow_pickle=False) as stored:
            own = {name: stored[name] for name in _OWN}
            scene = {name: stored[name] for name in _SCENE}
    except (OSError, EOFError, KeyError, ValueError) as error:
        raise ValueError(f"landmarks cannot be read: {error}") from error
    if not len(scene["points"]):
        return Landmarks(empty_scene(), **own)
    shared = {name: own[name] for name in ("picture_ids", "sizes_px", "sightings")}
    return Landmarks(Scene(**scene, **shared), **own)
