"""What differs between a picture after refitting and one from before: ranked boxes, never a verdict.

First around every known pin, since that is where things come off: is what surrounds the joint answered in the other
picture, and the other way round? Then elsewhere. `joints` says how answers are sought.
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from asfound.core.match.arrays import FloatArray, GrayImage, RgbImage
from asfound.core.match.belief import DIFFERS
from asfound.core.match.carry import CarriedPin
from asfound.core.match.differences import Difference, distinct, held_box, least_answered
from asfound.core.match.joints import MARGIN, STEPS, Laid, grid_px, lay_grids, maps_by_scene, unanswered, weighed_mean
from asfound.core.match.likeness import Likeness
from asfound.core.match.local_affine import carry_locally
from asfound.core.match.pixels import Size, frac_from_px, px_from_frac
from asfound.core.match.scene import Scene, ScenePicture

LEAST_AGREEING = 8
"""Fewer agreeing matches lay no two pictures over each other. Chosen by hand; not measured."""
SMALLEST_GROWTH, LARGEST_GROWTH = 0.3, 3.0
"""An overall growth beyond these is a wrong fit: pictures of a spot are not so unlike in scale. Chosen by hand; not
measured."""
NET_FROM, NET_TO, NET_ACROSS = 0.15, 0.85, 7
"""Places tried where few pins are known: a net of so many to a side between these fractions of the picture, so that a
place has room around it. Chosen by hand; not measured."""
MATCHES_NEAR = 0.12
"""How near, in diagonals, matches must lie to a place of that net. Chosen by hand; not measured."""
LEAST_BOX_GROWTH, MOST_BOX_GROWTH = 0.4, 2.5
"""How much a box grows at least and at most from BEFORE to AFTER, whatever the maps at its joint say. Chosen by hand;
not measured."""
ELSEWHERE = 0.25
"""Where no pin says that anything can come off, no place is believed more than this: by hand, such boxes were wrong."""
FEW_PINS = 3
"""With fewer pins in both pictures places between them are tried too."""


@dataclass(frozen=True)
class JointScore:
    """A pin's place in AFTER, fractions of it, and the probability that something differs there."""

    key: Hashable
    x_frac: float
    y_frac: float
    score: float


@dataclass(frozen=True)
class Comparison:
    """Whether the two pictures could be laid over each other, by how many matches, and what differs.

    `differences` come strongest first; there are none without registration. `joints` has every pin known in both.
    """

    registered: bool
    inliers: int
    differences: tuple[Difference, ...]
    joints: tuple[JointScore, ...] = ()


@dataclass(frozen=True, eq=False)
class Joints:
    """Places known in both pictures, in pixels at matching size.

    Attributes
    ----------
    keys : list
        None for a place without a pin.
    here_px, there_px : ndarray of shape (n, 2)
        In BEFORE and in AFTER.
    linear : ndarray of shape (n, 2, 2)
        How a small step in BEFORE turns into one in AFTER.
    sure : ndarray of shape (n,)
        Probability that the places are right; what a difference at them is believed at most.
    """

    keys: list[Hashable]
    here_px: FloatArray
    there_px: FloatArray
    linear: FloatArray
    sure: FloatArray


@dataclass(frozen=True, eq=False)
class ComparedSides:
    """Both pictures at matching size."""

    before: RgbImage
    after: RgbImage

    @property
    def sizes(self) -> tuple[Size, Size]:
        """Width and height of BEFORE and of AFTER, in pixels."""
        return (self.before.shape[1], self.before.shape[0]), (self.after.shape[1], self.after.shape[0])

    def lay(self, joints: Joints, step: float) -> tuple[Laid, Laid]:
        """Grids around the joints in BEFORE and in AFTER."""
        offsets = grid_px(step, self.sizes[0])
        straight = np.tile(np.eye(2), (len(joints.keys), 1, 1))
        first = lay_grids(_gray(self.before), self.before, joints.here_px, straight, offsets)
        return first, lay_grids(_gray(self.after), self.after, joints.there_px, joints.linear, offsets)


def compare_pictures(
    before: ScenePicture,
    after: ScenePicture,
    likeness: Likeness,
    *,
    before_rgb: RgbImage,
    after_rgb: RgbImage,
    before_pins: Sequence[CarriedPin] = (),
    after_pins: Sequence[CarriedPin] = (),
    scene: Scene | None = None,
    most: int = 8,
    seed: int = 1,
) -> Comparison:
    """Compare two pictures of a spot.

    Parameters
    ----------
    before, after : ScenePicture
    likeness : Likeness
        From `before` to `after`.
    before_rgb, after_rgb : ndarray of shape (h, w, 3), uint8
        As displayed, any size.
    before_pins, after_pins : sequence of CarriedPin
        Where the spot's pins lie in either picture (hand pins as pins of confidence 1).
    scene : Scene or None
        Of the spot; that both pictures are placed in it counts as registered even where they share little.
    most : int
        Boxes to return at most.
    """
    rows = None if scene is None else (scene.row_of(before.picture_id), scene.row_of(after.picture_id))
    in_scene = rows is not None and None not in rows
    if likeness.agreeing < LEAST_AGREEING and not in_scene:
        return Comparison(False, likeness.agreeing, ())
    sides = sides_of(before, after, before_rgb, after_rgb)
    joints = shared_joints(before, after, likeness, before_pins, after_pins, scene)
    found = _differences(sides, joints)
    places = frac_from_px(joints.there_px, sides.sizes[1]).tolist()
    scored = [JointScore(box.near_keys[0], x, y, box.score) for box, (x, y) in zip(found, places, strict=True)]
    if len(joints.keys) < FEW_PINS and likeness.agreeing >= LEAST_AGREEING:
        found += _differences(sides, _places_between(before, after, likeness, sides.sizes, seed))
    named = [_with_neighbours(one, joints, sides.sizes[1]) for one in distinct(found)[:most]]
    return Comparison(True, likeness.agreeing, tuple(named), tuple(scored))


def sides_of(before: ScenePicture, after: ScenePicture, before_rgb: RgbImage, after_rgb: RgbImage) -> ComparedSides:
    """Both pictures reduced to the size of their features."""
    resized = [
        np.asarray(cv2.resize(rgb, picture.features.size_px, interpolation=cv2.INTER_AREA), dtype=np.uint8)
        for rgb, picture in ((before_rgb, before), (after_rgb, after))
    ]
    return ComparedSides(resized[0], resized[1])


def shared_joints(
    before: ScenePicture,
    after: ScenePicture,
    likeness: Likeness,
    before_pins: Sequence[CarriedPin],
    after_pins: Sequence[CarriedPin],
    scene: Scene | None = None,
) -> Joints:
    """Pins known inside both pictures, in the order of `after_pins`."""
    earlier = {pin.key: pin for pin in before_pins if pin.inside}
    later = {pin.key: pin for pin in after_pins if pin.inside and pin.key in earlier}
    sizes = before.features.size_px, after.features.size_px
    places = np.array([(earlier[k].x_frac, earlier[k].y_frac, p.x_frac, p.y_frac) for k, p in later.items()])
    places = places.reshape(-1, 4)
    here, there = px_from_frac(places[:, :2], sizes[0]), px_from_frac(places[:, 2:], sizes[1])
    sure = np.array([min(earlier[key].confidence, pin.confidence) for key, pin in later.items()])
    first = None if scene is None else scene.row_of(before.picture_id)
    second = None if scene is None else scene.row_of(after.picture_id)
    if scene is not None and first is not None and second is not None and len(scene.points):
        linear = maps_by_scene(scene, (first, second), here, there)
    else:
        linear = np.tile(_overall_linear(before, after, likeness, here, there), (len(here), 1, 1))
    return Joints(list(later), here, there, linear, sure)


def _overall_linear(
    before: ScenePicture, after: ScenePicture, likeness: Likeness, here: FloatArray, there: FloatArray
) -> FloatArray:
    """Overall turn and growth from BEFORE to AFTER, shape (2, 2).

    Told by the pins where there are enough, since matches sit on whatever stayed.
    """
    if len(here) < FEW_PINS:
        index = likeness.matches[likeness.agrees]
        here = before.features.points_px[index[:, 0]].astype(np.float64)
        there = after.features.points_px[index[:, 1]].astype(np.float64)
    if len(here) < 2:
        return np.eye(2)
    found = cv2.estimateAffinePartial2D(here, there, method=cv2.LMEDS)[0]
    if found is None or not np.isfinite(found).all() or not _is_likely_growth(found):
        return np.eye(2)
    return np.asarray(found[:, :2], dtype=np.float64)


def _is_likely_growth(affine: FloatArray) -> bool:
    return SMALLEST_GROWTH < float(np.hypot(affine[0, 0], affine[1, 0])) < LARGEST_GROWTH


def _places_between(
    before: ScenePicture, after: ScenePicture, likeness: Likeness, sizes: tuple[Size, Size], seed: int
) -> Joints:
    """A coarse net of places that matches surround."""
    index = likeness.matches[likeness.agrees]
    line = np.linspace(NET_FROM, NET_TO, NET_ACROSS)
    here = px_from_frac(np.stack(np.meshgrid(line, line), axis=-1).reshape(-1, 2), sizes[0])
    maps = carry_locally(
        before.features.points_px[index[:, 0]].astype(np.float64),
        after.features.points_px[index[:, 1]].astype(np.float64),
        here,
        sizes[0],
        homography=likeness.homography,
        seed=seed,
    )
    inside = np.isfinite(maps.places_px).all(axis=1) & (maps.places_px > 0).all(axis=1)
    inside &= (maps.places_px < np.array(sizes[1]) - 1.0).all(axis=1) & (maps.nearest < MATCHES_NEAR)
    count = int(inside.sum())
    return Joints([None] * count, here[inside], maps.places_px[inside], maps.linear[inside], np.full(count, ELSEWHERE))


def _gray(rgb: RgbImage) -> GrayImage:
    """Gray levels, shape (h, w), of a picture (h, w, 3)."""
    return np.asarray(cv2.cvtColor(rgb, cv2.COLOR_RGB2GRAY), dtype=np.uint8)


def _differences(sides: ComparedSides, joints: Joints) -> list[Difference]:
    """One box for each joint, with the probability that something differs there."""
    if not joints.keys:
        return []
    wide = sides.lay(joints, STEPS["wide"])
    out = []
    for k, (key, unlike) in enumerate(zip(joints.keys, unanswered_close(sides, joints), strict=True)):
        score = DIFFERS.at(unlike) * joints.sure[k]
        out.append(_box(sides, joints, k, _both_ways(*wide, k), score, () if key is None else (key,)))
    return out


def unanswered_close(sides: ComparedSides, joints: Joints) -> list[float]:
    """What is unanswered close to each joint, 0 to 1, as `belief.DIFFERS` takes it; NaN where too little shows."""
    close = sides.lay(joints, STEPS["close"])
    return [weighed_mean(_both_ways(*close, k)) for k in range(len(joints.keys))]


def _both_ways(first: Laid, second: Laid, k: int) -> FloatArray:
    """What is unanswered around joint k, mean of both ways, shape (INNER, INNER); NaN outside either picture."""
    forth, back = unanswered(first, k, second, k)[0], unanswered(second, k, first, k)[0]
    return np.asarray((forth + back) / 2)


def _box(
    sides: ComparedSides, joints: Joints, k: int, unlike: FloatArray, score: float, keys: tuple[Hashable, ...]
) -> Difference:
    """The part of a joint's grid that is least answered, as a box of either picture."""
    before_size, after_size = sides.sizes
    offsets = grid_px(STEPS["wide"], before_size)[MARGIN:-MARGIN, MARGIN:-MARGIN]
    middle, half = least_answered(unlike, offsets, max(before_size))
    growth = math.sqrt(abs(float(np.linalg.det(joints.linear[k]))))
    growth = min(max(growth, LEAST_BOX_GROWTH), MOST_BOX_GROWTH)
    there = joints.there_px[k] + joints.linear[k] @ middle
    return Difference(
        *held_box(there, half * growth, after_size),
        float(score),
        keys,
        held_box(joints.here_px[k] + middle, half, before_size),
    )


def _with_neighbours(box: Difference, joints: Joints, size: Size) -> Difference:
    """The box with the keys of the other pins that lie in it added to `near_keys`."""
    places = frac_from_px(joints.there_px, size).reshape(-1, 2)
    low, extent = np.array([box.x_frac, box.y_frac]), np.array([box.w_frac, box.h_frac])
    inside = ((places >= low) & (places <= low + extent)).all(axis=1)
    others = [key for key, lies in zip(joints.keys, inside, strict=True) if lies and key not in box.near_keys]
    return Difference(*_corners(box), box.score, (*box.near_keys, *others), box.in_before)


def _corners(box: Difference) -> tuple[float, float, float, float]:
    """Left, top, width and height, fractions of AFTER."""
    return box.x_frac, box.y_frac, box.w_frac, box.h_frac
