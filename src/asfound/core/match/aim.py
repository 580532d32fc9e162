"""Whether a picture that looks like no other aims at the place of a spot, told by placing it in the spot's scene.

With the hose off, in another light, a picture may share too little with any one picture of its spot; the scene of all
of them still predicts it. Placed there, two cameras aim at one place when each sees the middle of the other's picture
in its own middle, from about as far.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray
from asfound.core.match.camera import PinholeCamera
from asfound.core.match.pixels import middle_px
from asfound.core.match.reconstruct import holds, locate_picture
from asfound.core.match.scene_model import Scene, ScenePicture

# Set by hand on eight rendered jobs, see docs/decisions/0020 and 0041. From farther off a picture is rather an
# overview; from nearer it shows a part of the spot.
NEAR_GAP, SAME_GAP, WIDE_GAP = 0.12, 0.2, 0.24
LEAST_SCALE, MOST_SCALE = 1 / 2.2, 1.45
LIKELY_PAIR, SURE_PAIR = 0.6, 0.85
CLEARLY_NEARER = 0.75
# Samples for a pose: 20,000 cost twice the time of 5,000 and placed 71 of 90 pictures instead of 73.
SAMPLES = 4000
MIDDLE_POINTS = 15
"""Points seen nearest to the middle of a picture that tell how deep it is. Chosen by hand; not measured."""


@dataclass(frozen=True)
class Aim:
    """Where a placed picture aims, against the pictures of a scene.

    Attributes
    ----------
    gap : float
        Median over the scene's pictures of the distance between the two middles, seen in whichever picture it is larger
        in, in fractions of that picture's diagonal; infinite when a middle lies behind a camera.
    scale : float
        Median of how much farther off the picture was taken, with its field of view; more than 1 is from afar.
    """

    gap: float
    scale: float

    def takes_in(self, likest: float) -> bool:
        """Whether the picture counts as one of the spot.

        `likest` is the greatest probability (`spot_probability`) that it and a picture of the spot are of one spot.
        Where that is high, the scene need only agree roughly.
        """
        if likest >= SURE_PAIR and self.gap <= WIDE_GAP:
            return True
        near = self.gap <= NEAR_GAP or (likest >= LIKELY_PAIR and self.gap <= WIDE_GAP)
        return near and LEAST_SCALE <= self.scale <= MOST_SCALE


def choose_spot(aims: Mapping[int, Aim], likest: Mapping[int, float]) -> int | None:
    """The spot that a picture is of, None where none takes it in or another shows it about as well.

    Parameters
    ----------
    aims : mapping of spot id to Aim
        For each spot in whose scene the picture could be placed.
    likest : mapping of spot id to float
        As for `Aim.takes_in`.
    """
    taking = [(aim.gap, spot_id) for spot_id, aim in aims.items() if aim.takes_in(likest[spot_id])]
    if not taking:
        return None
    gap, best = min(taking)
    rivals = [aim.gap for spot_id, aim in aims.items() if spot_id != best]
    return best if gap <= NEAR_GAP or gap <= CLEARLY_NEARER * min(rivals, default=math.inf) else None


def are_one_place(aims: Sequence[Aim | None]) -> bool:
    """Whether two spots are one: at least two pictures of the one, and half of those asked, aim where the other does.

    `aims` are those of the pictures of the one spot in the scene of the other, None for what cannot be placed there.
    """
    same = sum(a is not None and a.gap <= SAME_GAP and LEAST_SCALE <= a.scale <= MOST_SCALE for a in aims)
    return same >= 2 and 2 * same >= len(aims)


def find_aim(scene: Scene, pictures: Sequence[ScenePicture], picture: ScenePicture, *, seed: int = 1) -> Aim | None:
    """Where a picture aims in a scene, None when it cannot be placed in it.

    Parameters
    ----------
    scene : Scene
    pictures : sequence of ScenePicture
        At least those that the scene places.
    picture : ScenePicture
        Not in the scene.
    """
    pose = locate_picture(scene, pictures, picture, seed=seed, iterations=SAMPLES)
    if pose is None or not holds(pose):
        return None
    my_middle, my_depth = _middle_seen(pose.camera, scene.points[pose.points])
    gaps, scales = [], []
    for row in range(len(scene.picture_ids)):
        other = scene.camera(row)
        middle, depth = _middle_seen(other, scene.seen_by(row))
        gaps.append(max(_off_middle(pose.camera, middle), _off_middle(other, my_middle)))
        scales.append(_width_at(pose.camera, my_depth) / _width_at(other, depth))
    return Aim(float(np.median(gaps)), float(np.median(scales)))


def _middle_seen(camera: PinholeCamera, points: FloatArray) -> tuple[FloatArray, float]:
    """What lies in the middle of the picture, as deep as the points (n, 3) seen nearest to it, and that depth."""
    local = camera.local(points)
    off_middle = np.linalg.norm(local[:, :2] / local[:, 2:], axis=1)
    depth = float(np.median(local[np.argsort(off_middle)[:MIDDLE_POINTS], 2]))
    return camera.lift(middle_px(camera.size_px)[None], np.array([depth]))[0, 0], depth


def _off_middle(camera: PinholeCamera, point: FloatArray) -> float:
    """Distance of a point (3,) from the middle of the picture, in fractions of the diagonal; infinite behind."""
    offset = float(np.hypot(*camera.project_from_middle(point))) / camera.diagonal_px
    return offset if math.isfinite(offset) else math.inf


def _width_at(camera: PinholeCamera, depth: float) -> float:
    """How much the picture's diagonal spans at a depth, in the unit of the scene."""
    return depth / camera.focal_px * camera.diagonal_px
