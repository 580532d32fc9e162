"""What differs between a picture after refitting and one from before: ranked boxes, never a verdict.

First around every known pin, since that is where things come off: is what surrounds the joint answered in the other
picture, and the other way round? Then elsewhere. Answers are sought in descriptors around the expected place, so that
light and a hose that lies a little differently cost nothing.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import cv2
import numpy as np

from asfound.core.match.arrays import Float32Array, FloatArray, GrayImage
from asfound.core.match.carry import CarriedPin
from asfound.core.match.dense import describe_grid
from asfound.core.match.likeness import Likeness
from asfound.core.match.local_affine import LocalMaps, carry_locally
from asfound.core.match.pixels import Size, frac_from_px, px_from_frac, resize_gray
from asfound.core.match.scene import Scene, ScenePicture

LEAST_AGREEING = 8
# A joint with its plug or hose end and clamp fills about a quarter of a spot's picture.
BOX = 0.24
SAMPLES = 7
REACH = 0.03
STRONG_Z = 2.5

SharedPin = tuple[Hashable, FloatArray, FloatArray, float]
"""Key, place in BEFORE, place in AFTER (fractions) and confidence of a pin known in both."""


@dataclass(frozen=True)
class Difference:
    """A box of AFTER, fractions of its width and height from its top left corner.

    `score` 0 to 1 ranks boxes; 0.5 and more stands out clearly from the picture's other places. `near_keys` are the
    pins that lie in it.
    """

    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float
    score: float
    near_keys: tuple[Hashable, ...] = ()


@dataclass(frozen=True)
class Comparison:
    """Whether the two pictures could be laid over each other, by how many matches, and what differs.

    `differences` come strongest first; there are none without registration.
    """

    registered: bool
    inliers: int
    differences: tuple[Difference, ...]


@dataclass(frozen=True, eq=False)
class _Sides:
    """Both pictures with descriptors on a grid, and how places of one lie in the other."""

    before: Float32Array
    after: Float32Array
    step_px: int
    before_size: Size
    after_size: Size
    matches_before: FloatArray
    matches_after: FloatArray
    homography: FloatArray | None
    scale: float
    turn_deg: float
    seed: int

    def forth(self, places_px: FloatArray) -> LocalMaps:
        """Local maps from before to after."""
        return carry_locally(
            self.matches_before,
            self.matches_after,
            places_px,
            self.before_size,
            homography=self.homography,
            seed=self.seed,
        )


def compare_pictures(
    before: ScenePicture,
    after: ScenePicture,
    likeness: Likeness,
    *,
    before_gray: GrayImage,
    after_gray: GrayImage,
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
    before_gray, after_gray : ndarray of shape (h, w), uint8
        As displayed, any size.
    before_pins, after_pins : sequence of CarriedPin
        Where the spot's pins lie in either picture (hand pins as pins of confidence 1).
    scene : Scene or None
        Of the spot; that both pictures are placed in it counts as registered even where they share little.
    most : int
        Boxes to return at most.
    """
    in_scene = scene is not None and all(scene.row_of(p.picture_id) is not None for p in (before, after))
    if likeness.agreeing < LEAST_AGREEING and not in_scene:
        return Comparison(False, likeness.agreeing, ())
    places = _shared_pins(before_pins, after_pins)
    sides = _prepare(before, after, likeness, before_gray, after_gray, places, seed)
    found = _around_pins(sides, places)
    if len(found) < 3 and likeness.agreeing >= LEAST_AGREEING:
        found += _elsewhere(sides, found)
    return Comparison(True, likeness.agreeing, tuple(_distinct(found)[:most]))


def _prepare(
    before: ScenePicture,
    after: ScenePicture,
    likeness: Likeness,
    before_gray: GrayImage,
    after_gray: GrayImage,
    places: Sequence[SharedPin],
    seed: int,
) -> _Sides:
    sizes = before.features.size_px, after.features.size_px
    step = max(4, round(max(sizes[1]) / 128))
    grays = [resize_gray(gray, size) for gray, size in zip((before_gray, after_gray), sizes, strict=True)]
    index = likeness.matches[likeness.agrees]
    points_before = before.features.points_px[index[:, 0]].astype(np.float64)
    points_after = after.features.points_px[index[:, 1]].astype(np.float64)
    if len(places) >= 3:
        # Pins know the joints; matches sit on whatever stayed, mostly floor and rail.
        pins_before = px_from_frac([place[1] for place in places], sizes[0])
        scale, turn = estimate_similarity(pins_before, px_from_frac([place[2] for place in places], sizes[1]))
    else:
        scale, turn = estimate_similarity(points_before, points_after)
    return _Sides(
        describe_grid(grays[0], step, angle_deg=0.0),
        describe_grid(grays[1], step, angle_deg=turn),
        step,
        sizes[0],
        sizes[1],
        points_before,
        points_after,
        likeness.homography,
        scale,
        turn,
        seed,
    )


def estimate_similarity(points_before: FloatArray, points_after: FloatArray) -> tuple[float, float]:
    """Scale and turn (degrees clockwise on screen) of the overall similarity; 1 and 0 where it cannot be told."""
    if len(points_before) < 2:
        return 1.0, 0.0
    found = cv2.estimateAffinePartial2D(points_before, points_after, method=cv2.LMEDS)[0]
    if found is None or not np.isfinite(found).all():
        return 1.0, 0.0
    scale = float(np.clip(np.hypot(found[0, 0], found[1, 0]), 0.3, 3.0))
    return scale, float(np.degrees(np.arctan2(found[1, 0], found[0, 0])))


def _shared_pins(before_pins: Sequence[CarriedPin], after_pins: Sequence[CarriedPin]) -> list[SharedPin]:
    """Key, place in BEFORE, place in AFTER (fractions) and confidence of pins known inside both."""
    earlier = {pin.key: pin for pin in before_pins if pin.inside}
    out = []
    for pin in after_pins:
        if pin.inside and pin.key in earlier:
            first = earlier[pin.key]
            places = np.array([first.x_frac, first.y_frac]), np.array([pin.x_frac, pin.y_frac])
            out.append((pin.key, *places, min(first.confidence, pin.confidence)))
    return out


def _around_pins(sides: _Sides, places: Sequence[SharedPin]) -> list[Difference]:
    """One box for each pin, by how little of its surroundings is answered."""
    keys, unanswered, centres = [], [], []
    for key, first, second, _ in places:
        here = px_from_frac(first, sides.before_size)
        there = px_from_frac(second, sides.after_size)
        keys.append(key)
        centres.append(there)
        unanswered.append(unanswered_around(sides, here, there))
    scores = _stand_out(np.array(unanswered))
    return [_box(centre, score, sides, (key,)) for key, centre, score in zip(keys, centres, scores, strict=True)]


def unanswered_around(sides: _Sides, here_px: FloatArray, there_px: FloatArray) -> float:
    """Mean of what around a place of either picture finds no like near where it must lie in the other, 0 to 1."""
    scale, turn = sides.scale, np.radians(sides.turn_deg)
    cos, sin = np.cos(turn), np.sin(turn)
    spread = 0.35 * BOX * max(sides.before_size)
    line = np.linspace(-spread, spread, SAMPLES)
    offsets = np.stack(np.meshgrid(line, line), axis=-1).reshape(-1, 2)
    turned = offsets @ np.array([[cos, sin], [-sin, cos]]) * scale
    reach = REACH * max(sides.after_size)
    forth = _best_answers(sides.before, sides.after, here_px + offsets, there_px + turned, reach, sides.step_px)
    back = _best_answers(sides.after, sides.before, there_px + turned, here_px + offsets, reach / scale, sides.step_px)
    weights = np.exp(-0.5 * (np.linalg.norm(offsets, axis=1) / (0.6 * spread)) ** 2)
    parts = []
    for answers in (forth, back):
        known = np.isfinite(answers)
        if known.sum() >= 6:
            parts.append(float(((1 - answers[known]) * weights[known]).sum() / weights[known].sum()))
    return float(np.mean(parts)) if parts else 0.0


def _best_answers(
    source: Float32Array, target: Float32Array, here_px: FloatArray, there_px: FloatArray, reach_px: float, step: int
) -> FloatArray:
    """For each place of the source grid its greatest likeness within reach of its place in the target; NaN outside."""
    out = np.full(len(here_px), np.nan)
    cells = np.rint(here_px / step).astype(int)
    goals = np.rint(there_px / step).astype(int)
    reach = max(1, round(reach_px / step))
    rows, columns = source.shape[:2]
    for k, ((x, y), (u, v)) in enumerate(zip(cells, goals, strict=True)):
        if not (0 <= x < columns and 0 <= y < rows):
            continue
        window = target[max(0, v - reach) : v + reach + 1, max(0, u - reach) : u + reach + 1]
        if window.size and 0 <= u < target.shape[1] and 0 <= v < target.shape[0]:
            out[k] = float((window @ source[y, x]).max())
    return out


def _stand_out(values: FloatArray) -> FloatArray:
    """Scores 0 to 1 that keep the order; 0.5 for a value `STRONG_Z` robust deviations above the middle one."""
    if not len(values):
        return values
    middle = float(np.median(values))
    width = max(1.4826 * float(np.median(np.abs(values - middle))), 0.02)
    return np.asarray(1 / (1 + np.exp(-((values - middle) / width - STRONG_Z))))


def _box(centre_px: FloatArray, score: float, sides: _Sides, keys: tuple[Hashable, ...]) -> Difference:
    size = sides.after_size
    half = BOX * max(size) / 2 * float(np.clip(sides.scale, 0.5, 1.5))
    low = frac_from_px(np.maximum(centre_px - half, -0.5), size)
    high = frac_from_px(np.minimum(centre_px + half, np.array(size) - 0.5), size)
    return Difference(
        float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1]), float(score), keys
    )


def _elsewhere(sides: _Sides, known: Sequence[Difference]) -> list[Difference]:
    """Boxes on a coarse grid of places that the matches surround, scored below what stands out at pins."""
    width, height = sides.before_size
    line_x, line_y = np.linspace(0.15, 0.85, 7) * width, np.linspace(0.15, 0.85, 7) * height
    here = np.stack(np.meshgrid(line_x, line_y), axis=-1).reshape(-1, 2)
    maps = sides.forth(here)
    limits = np.array(sides.after_size) - 1.0
    inside = np.isfinite(maps.places_px).all(axis=1) & (maps.places_px > 0).all(axis=1)
    inside &= (maps.places_px < limits).all(axis=1) & (maps.nearest < 0.12)
    here, there = here[inside], maps.places_px[inside]
    values = np.array([unanswered_around(sides, a, b) for a, b in zip(here, there, strict=True)])
    scores = _stand_out(values)
    return [_box(b, 0.8 * s, sides, ()) for b, s in zip(there, scores, strict=True)]


def _distinct(found: Sequence[Difference]) -> list[Difference]:
    """Strongest first, without those that mostly cover a stronger one."""
    kept: list[Difference] = []
    for box in sorted(found, key=lambda b: (-b.score, b.x_frac, b.y_frac)):
        if all(_overlap(box, other) < 0.5 for other in kept):
            kept.append(box)
    return kept


def _overlap(a: Difference, b: Difference) -> float:
    """Intersection over union of two boxes."""
    width = min(a.x_frac + a.w_frac, b.x_frac + b.w_frac) - max(a.x_frac, b.x_frac)
    height = min(a.y_frac + a.h_frac, b.y_frac + b.h_frac) - max(a.y_frac, b.y_frac)
    both = max(0.0, width) * max(0.0, height)
    return both / max(a.w_frac * a.h_frac + b.w_frac * b.h_frac - both, 1e-12)
