"""Draw the known pins in a photo that is asked about: as points in space where it has a pose, else with its matches."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray
from asfound.core.match.local_affine import carry_locally
from asfound.core.match.pixels import frac_from_px, px_from_frac
from asfound.core.match.query import Sight
from asfound.core.match.reconstruct import holds
from asfound.core.match.resection import PoseEstimate, find_pose
from asfound.core.match.scene import Scene
from asfound.core.match.triangulate import triangulate_points

DRAW_SAMPLES = 20000
"""Samples for a pose where the votes gave none: as many as `resection.THOROUGH`, since a person waits for one photo."""
LEAST_DRAWN = 0.3
"""Less sure pins are not drawn: as little as a carried pin is proposed with. Chosen by hand; not measured."""
LEAST_NEAR = 8
"""Fewer votes of a picture move no pin. Chosen by hand; not measured."""


@dataclass(frozen=True)
class PinSighting:
    """Where a pin's thing shows in a picture of the archive, set by hand (`confidence` 1) or carried there."""

    key: Hashable
    picture_id: int
    x_frac: float
    y_frac: float
    confidence: float = 1.0


@dataclass(frozen=True)
class DrawnPin:
    """A pin's place in the photo, fractions of it as displayed; `confidence` that it is right within 5 %."""

    key: Hashable
    x_frac: float
    y_frac: float
    confidence: float


def draw_pins(sight: Sight, sightings: Sequence[PinSighting], *, seed: int = 1) -> list[DrawnPin]:
    """The pins of a place in the photo, surest first; those that fall outside it are left out.

    With a pose in the place's scene pins are points in space, told by the pictures they show in. Without one those on
    the likest picture are moved as the matches near them move.
    """
    pose = _pose_to_draw(sight, seed)
    drawn = _draw_deep(sight, pose, sightings) if pose is not None else _draw_near(sight, sightings, seed)
    inside = [pin for pin in drawn if 0 <= pin.x_frac <= 1 and 0 <= pin.y_frac <= 1 and pin.confidence >= LEAST_DRAWN]
    return sorted(inside, key=lambda pin: -pin.confidence)


def _pose_to_draw(sight: Sight, seed: int) -> PoseEstimate | None:
    """A pose of the photo in the scene that holds, searched for longer where the votes gave none; None without one."""
    scene = sight.place.scene
    if not len(scene.points):
        return None
    look = sight.best
    if look.pose is not None and holds(look.pose):
        return look.pose
    pose = find_pose(
        scene.points,
        look.likeness,
        look.sized.from_middle_px,
        look.sized.features.size_px,
        look.sized.focal_px,
        extra=look.votes[0].matches if look.votes else None,
        seed=seed,
        iterations=DRAW_SAMPLES,
    )
    return pose if pose is not None and holds(pose) else None


def _draw_deep(sight: Sight, pose: PoseEstimate, sightings: Sequence[PinSighting]) -> list[DrawnPin]:
    """Pins as points of the scene, projected into the photo by its pose; those behind it are left out."""
    out = []
    for key, (point, confidence) in pin_points(sight.place.scene, sightings).items():
        x, y = frac_from_px(pose.camera.project(point), pose.camera.size_px)
        if np.isfinite([x, y]).all():
            out.append(DrawnPin(key, float(x), float(y), confidence * sight.probability))
    return out


def pin_points(scene: Scene, sightings: Sequence[PinSighting]) -> dict[Hashable, tuple[FloatArray, float]]:
    """Pins as points of a scene, shape (3,), with the confidence of the surest place that was carried.

    A pin needs sightings on two pictures or more that the scene places. Those carried through depth lie on its own
    point, so that no picture need be looked at again.
    """
    keys: dict[Hashable, int] = {}
    centres, directions, of, sure = [], [], [], []
    for sighting in sightings:
        row = scene.row_of(sighting.picture_id)
        if row is None:
            continue
        camera = scene.camera(row)
        centres.append(camera.centre)
        directions.append(camera.directions(px_from_frac([[sighting.x_frac, sighting.y_frac]], camera.size_px))[0])
        of.append(keys.setdefault(sighting.key, len(keys)))
        sure.append(sighting.confidence)
    if not keys:
        return {}
    index, confidence = np.array(of), np.array(sure)
    points, _ = triangulate_points(np.array(centres), np.array(directions), index, len(keys))
    found: dict[Hashable, tuple[FloatArray, float]] = {}
    for key, k in keys.items():
        carried = confidence[(index == k) & (confidence < 1)]
        if np.isfinite(points[k]).all():
            found[key] = points[k], float(carried.max(initial=0.0)) or float(confidence[index == k].min())
    return found


def _draw_near(sight: Sight, sightings: Sequence[PinSighting], seed: int) -> list[DrawnPin]:
    """Pins of the picture with the most votes, moved as the nearest matches move."""
    look, place = sight.best, sight.place
    if not look.votes or len(look.votes[0].matches) < LEAST_NEAR:
        return []
    vote = look.votes[0]
    picture_id = int(place.picture_ids[vote.row])
    mine = [sighting for sighting in sightings if sighting.picture_id == picture_id]
    if not mine:
        return []
    size = (int(place.sizes_px[vote.row, 0]), int(place.sizes_px[vote.row, 1]))
    here = np.flatnonzero(place.sightings[:, 0] == vote.row)
    _, in_vote, in_here = np.intersect1d(vote.matches[:, 1], place.sightings[here, 2], return_indices=True)
    points_a = place.keypoints[here[in_here], :2].astype(np.float64)
    points_b = look.sized.features.points_px[vote.matches[in_vote, 0]].astype(np.float64)
    at = px_from_frac([[sighting.x_frac, sighting.y_frac] for sighting in mine], size)
    maps = carry_locally(points_a, points_b, at, size, homography=None, seed=seed)
    places = frac_from_px(maps.places_px, look.sized.features.size_px)
    sure = maps.confidence * sight.probability
    return [
        DrawnPin(sighting.key, float(x), float(y), float(p) * sighting.confidence)
        for sighting, (x, y), p in zip(mine, places, sure, strict=True)
        if np.isfinite([x, y]).all()
    ]
