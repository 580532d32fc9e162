"""Carry pins from the pictures where a person set them to the other pictures of the spot."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Hashable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from asfound.core.match.arrays import Float32Array, FloatArray, GrayImage
from asfound.core.match.belief import CARRIED, log_odds
from asfound.core.match.in_sight import is_hidden
from asfound.core.match.likeness import Likeness
from asfound.core.match.pairs import SpotPicture, split_stints, tell_states
from asfound.core.match.pin_depth import PinDepth, belief_in_place, estimate_depth, normalise_light
from asfound.core.match.pin_near import NearPlace, place_by_matches
from asfound.core.match.pixels import diagonal_px, frac_from_px, px_from_frac, resize_gray
from asfound.core.match.scene import Scene, ScenePicture, build_scene

CarriedHow = Literal["near", "chain", "depth"]
LEAST_CONFIDENCE = 0.3
"""Less sure pins are not proposed: of the counted ones that drops seven of eight wrong ones and no right one
(docs/decisions/0019)."""
STINTS_TOLD = 3
"""Stints of work from which the times tell in which one parts were off."""
LEAST_AGREEING = 8
"""Fewer agreeing matches carry no pin from one picture to another. Chosen by hand; not measured."""
MOST_DEVIATIONS = 8.0
"""A hand pin farther from the ray than so many deviations speaks no more strongly against it, so that one that was set
wrong does not make every depth impossible. Chosen by hand; not measured."""
HAND_SPREAD = 0.01
"""How far a hand pin lies from its joint, one standard deviation, in fractions of the diagonal (a guess)."""
LEAST_VIEWS = 3
"""The scene of fewer pictures tells nothing that their matches do not: no third picture bears its depth out."""
SAME_PLACE = 0.03
"""Depth and the matches around a pin lead to one place when no more lies between them, in diagonals."""
MOST_UNBORNE = 0.85
"""Most that is said of a pin carried through depth where no matches around it lead there too. Chosen by hand: on
rendered machines, where nothing but parts moves, .93 of 181 such pins were right (docs/decisions/0045)."""
WELL_HELD, LEAST_HELD = 30, 0.3
"""Points from which a pose counts in full, and the share it counts at least; chosen by hand; not measured."""
UNLIKE, LIKE = 0.1, 0.3
"""Patch likeness below which a place shows something else, and above which the patch is one that can be found again."""


@dataclass(frozen=True)
class HandPin:
    """A pin a person set: `x_frac`, `y_frac` is its centre, fractions of the picture as displayed.

    `key` says what it marks (a tag's end); pins of one key on several pictures sharpen each other.
    """

    key: Hashable
    picture_id: int
    x_frac: float
    y_frac: float
    w_frac: float | None = None
    h_frac: float | None = None


@dataclass(frozen=True)
class CarriedPin:
    """A proposal for where a pin's thing lies in another picture.

    Attributes
    ----------
    key : hashable
    picture_id : int
    x_frac, y_frac : float
        Centre, fractions of the picture as displayed; outside 0 to 1 when `inside` is false.
    w_frac, h_frac : float or None
        Size, where the hand pin has one.
    confidence : float
        Probability that the place is right within 5 % of the diagonal.
    inside : bool
        Whether the place lies in the picture.
    how : str
        "near" from a picture that shows nearly the same, "chain" through a picture between, "depth" through the scene.
    gone : bool or None
        True where something else shows at the place and the parts were off at that time, by the pictures' times; None
        when that cannot be said. Never False: what looks the same may still be disconnected.
    hidden : bool or None
        True where something nearer seems to stand before the point, False where the picture shows what the pin's own
        picture does, None where neither can be told. A hint.
    from_id : int or None
        The picture it is carried from.
    scale : float or None
        How much larger the thing shows than in that picture, each as a share of its picture's side.
    """

    key: Hashable
    picture_id: int
    x_frac: float
    y_frac: float
    w_frac: float | None
    h_frac: float | None
    confidence: float
    inside: bool
    how: CarriedHow
    gone: bool | None = None
    hidden: bool | None = None
    from_id: int | None = None
    scale: float | None = None


def carry_pins(
    hand_pins: Sequence[HandPin],
    pictures: Sequence[ScenePicture],
    likenesses: Mapping[tuple[int, int], Likeness],
    *,
    load_gray: Callable[[int], GrayImage],
    seed: int = 1,
    scene: Scene | None = None,
    least_confidence: float = LEAST_CONFIDENCE,
    onto: Collection[int] | None = None,
    onto_pinned: bool = False,
) -> list[CarriedPin]:
    """Carry hand pins to every other picture where their place can be told.

    Parameters
    ----------
    hand_pins : sequence of HandPin
        On pictures among `pictures`; others are passed over.
    pictures : sequence of ScenePicture
        The spot's pictures, or more.
    likenesses : mapping of (picture_id, picture_id) to Likeness
        Either order of ids.
    load_gray : callable
        picture_id to the gray picture as displayed, any size.
    seed : int
    scene : Scene or None
        As `build_scene` gives it for these pictures; built here when None.
    least_confidence : float
        Less sure places are not returned.
    onto : collection of int or None
        Pictures to carry to; None for all.
    onto_pinned : bool
        Whether to carry to pictures that have a hand pin of the same key too: not for the place, but for its scale.

    Returns
    -------
    list of CarriedPin
        At most one for each key and picture, in the order of keys' first pins, then of `pictures`.
    """
    views = _Views(
        pictures, likenesses, build_scene(pictures, likenesses, seed=seed) if scene is None else scene, load_gray, seed
    )
    own = {(pin.key, pin.picture_id) for pin in hand_pins}
    best: dict[tuple[Hashable, int], CarriedPin] = {}
    for pin in hand_pins:
        others = [other for other in hand_pins if other.key == pin.key and other.picture_id != pin.picture_id]
        for carried in _carry_one(pin, others, views, onto):
            at = (carried.key, carried.picture_id)
            if (at in own and not onto_pinned) or carried.confidence < least_confidence:
                continue
            if at not in best or carried.confidence > best[at].confidence:
                best[at] = carried
    off = _taken_while_off(pictures)
    return [pin if pin.picture_id in off else replace(pin, gone=None) for pin in best.values()]


def _taken_while_off(pictures: Sequence[ScenePicture]) -> set[int]:
    """Pictures of the stint in which parts were off, where the times tell.

    A second stint with nothing after it may as well be the one in which numbers were put on, so it takes a third one.
    """
    stints = split_stints([SpotPicture(picture.picture_id, picture.taken_s) for picture in pictures])
    states = tell_states(stints)
    if "off" not in states or len(stints) < STINTS_TOLD:
        return set()
    return {picture.picture_id for picture in stints[states.index("off")]}


@dataclass(eq=False)
class _Views:
    """What carrying looks things up in; pictures are prepared when first asked for."""

    pictures: Sequence[ScenePicture]
    likenesses: Mapping[tuple[int, int], Likeness]
    scene: Scene
    load_gray: Callable[[int], GrayImage]
    seed: int

    def __post_init__(self) -> None:
        self.by_id = {picture.picture_id: picture for picture in self.pictures}
        self.rows = {int(picture_id): row for row, picture_id in enumerate(self.scene.picture_ids)}
        self._prepared: dict[int, Float32Array] = {}

    def prepared(self, picture_id: int) -> Float32Array:
        """The picture at matching size, light divided out."""
        if picture_id not in self._prepared:
            gray = resize_gray(self.load_gray(picture_id), self.by_id[picture_id].features.size_px)
            self._prepared[picture_id] = normalise_light(gray.astype(np.float32))
        return self._prepared[picture_id]

    def images(self) -> dict[int, Float32Array]:
        """Every placed picture by its row, prepared."""
        return {row: self.prepared(i) for i, row in self.rows.items() if i in self.by_id}


def oriented(likenesses: Mapping[tuple[int, int], Likeness], first: int, second: int) -> Likeness | None:
    """The likeness from `first` to `second`, whichever order it is kept in."""
    if (first, second) in likenesses:
        return likenesses[first, second]
    if (second, first) in likenesses:
        return likenesses[second, first].reversed()
    return None


def _carry_one(
    pin: HandPin, others: Sequence[HandPin], views: _Views, onto: Collection[int] | None
) -> list[CarriedPin]:
    """Carry one pin to each other picture: through depth where both are placed, or by the matches around it."""
    if pin.picture_id not in views.by_id:
        return []
    pin_px = px_from_frac([pin.x_frac, pin.y_frac], views.by_id[pin.picture_id].features.size_px)
    depth = None
    row = views.rows.get(pin.picture_id)
    if row is not None and len(views.rows) >= LEAST_VIEWS:
        depth = estimate_depth(views.scene, row, pin_px, views.images())
        depth = depth and _agree(depth, pin_px, row, others, views)
    wanted = [p for p in views.pictures if p.picture_id != pin.picture_id and (onto is None or p.picture_id in onto)]
    carried = (_carry_to(pin, pin_px, row, depth, target, views) for target in wanted)
    return [found for found in carried if found is not None]


def _carry_to(
    pin: HandPin, pin_px: FloatArray, row: int | None, depth: PinDepth | None, target: ScenePicture, views: _Views
) -> CarriedPin | None:
    """Carry a pin to one picture, None where nothing tells its place.

    Depth leads farther than matches do, to where the parts around are off. It is not believed where matches close to
    the pin lead elsewhere: then the pin's thing moved against what the scene stands on.
    """
    near = _near_place(pin, pin_px, target, views)
    to = views.rows.get(target.picture_id)
    if depth is None or row is None or to is None:
        return None if near is None else _carry_near(pin, near, target, views)
    points = views.scene.camera(row).lift(pin_px[None], depth.depths)[:, 0]
    places = views.scene.camera(to).project(points)
    apart = math.inf
    if near is not None:
        apart = float(np.linalg.norm(places[depth.best] - near.place_px)) / diagonal_px(target.features.size_px)
    agree = apart < SAME_PLACE
    if near is not None and near.is_close and not agree:
        return _carry_near(pin, near, target, views)
    return _carry_deep(pin, pin_px, row, depth, points[depth.best], places, target, views, borne_out=agree)


def _near_place(pin: HandPin, pin_px: FloatArray, target: ScenePicture, views: _Views) -> NearPlace | None:
    """Where the matches around a pin lead in a picture, None where the two share too little."""
    likeness = oriented(views.likenesses, pin.picture_id, target.picture_id)
    if likeness is None or likeness.agreeing < LEAST_AGREEING:
        return None
    source = views.by_id[pin.picture_id].features
    return place_by_matches(pin_px, source, target.features, likeness, seed=views.seed)


def _agree(depth: PinDepth, pin_px: FloatArray, row: int, others: Sequence[HandPin], views: _Views) -> PinDepth:
    """The depth after hearing the hand pins of the same thing on other pictures: they say where its ray is met."""
    weight = depth.posterior.copy()
    for other in others:
        if other.picture_id not in views.rows or other.picture_id not in views.by_id:
            continue
        size = views.by_id[other.picture_id].features.size_px
        ray = views.scene.camera(row).lift(pin_px[None], depth.depths)[:, 0]
        places = views.scene.camera(views.rows[other.picture_id]).project(ray)
        off = np.linalg.norm(places - px_from_frac([other.x_frac, other.y_frac], size), axis=1)
        spread = np.nan_to_num(off / (HAND_SPREAD * diagonal_px(size)), nan=MOST_DEVIATIONS)
        weight *= np.exp(-0.5 * np.minimum(spread, MOST_DEVIATIONS) ** 2)
    if not weight.sum() > 0:
        return depth
    return replace(depth, posterior=weight / weight.sum(), best=int(weight.argmax()))


def _carry_deep(
    pin: HandPin,
    pin_px: FloatArray,
    row: int,
    depth: PinDepth,
    point: FloatArray,
    places: FloatArray,
    target: ScenePicture,
    views: _Views,
    *,
    borne_out: bool,
) -> CarriedPin:
    """Carry a pin of the picture of `row` at its likeliest depth, `point`, to a picture that the scene places."""
    scene, to = views.scene, views.rows[target.picture_id]
    here, there = scene.camera(row), scene.camera(to)
    confidence = CARRIED.at(log_odds(believed_place(depth, places, scene, to)), float(borne_out))
    if not borne_out:
        confidence = min(confidence, MOST_UNBORNE)
    x, y = frac_from_px(places[depth.best], target.features.size_px)
    before, after = (float(np.linalg.norm(camera.local(point))) for camera in (here, there))
    scale = before / after * there.focal_px / here.focal_px
    carried = _carried(pin, target, x, y, scale, views.by_id[pin.picture_id], confidence, "depth")
    hidden = is_hidden(scene, row, to, pin_px, depth, views.images()) if carried.inside else None
    return replace(carried, gone=_shows_something_else(depth, to), hidden=hidden)


def believed_place(depth: PinDepth, places_px: FloatArray, scene: Scene, row: int) -> float:
    """What the depths believe of the likeliest of their places in a picture, less where few points hold its pose."""
    held = float(np.clip(scene.support[row] / WELL_HELD, LEAST_HELD, 1))
    return belief_in_place(depth, places_px, scene.camera(row).diagonal_px) * held


def _shows_something_else(depth: PinDepth, row: int) -> bool | None:
    """True where a patch that other pictures do show is not what this one shows at the place; None where unsure."""
    here = depth.scores.get(row)
    others = [likeness[depth.best] for other, likeness in depth.scores.items() if other != row]
    if here is None or not others or max(others) < LIKE or here[depth.best] > UNLIKE:
        return None
    return True


def _carried(
    pin: HandPin,
    target: ScenePicture,
    x: float,
    y: float,
    scale: float,
    source: ScenePicture,
    confidence: float,
    how: CarriedHow,
) -> CarriedPin:
    """A carried pin at fractions `x`, `y` of its picture, with its box grown by `scale`, pixels to pixels."""
    # A square stays one on pictures held the other way: sizes go by pixels, not by fractions.
    growth = scale * np.divide(source.features.size_px, target.features.size_px)
    size = None if pin.w_frac is None or pin.h_frac is None else np.array([pin.w_frac, pin.h_frac]) * growth
    inside = bool(np.isfinite([x, y]).all() and 0 <= x <= 1 and 0 <= y <= 1)
    return CarriedPin(
        pin.key,
        target.picture_id,
        float(x),
        float(y),
        None if size is None else float(size[0]),
        None if size is None else float(size[1]),
        confidence if np.isfinite([x, y]).all() else 0.0,
        inside,
        how,
        from_id=pin.picture_id,
        scale=float(np.sqrt(growth.prod())),
    )


def _carry_near(pin: HandPin, near: NearPlace, target: ScenePicture, views: _Views) -> CarriedPin:
    """Carry a pin as the matches around it move."""
    x, y = frac_from_px(near.place_px, target.features.size_px)
    scale = float(np.sqrt(abs(np.linalg.det(near.linear))))
    return _carried(pin, target, x, y, scale, views.by_id[pin.picture_id], near.confidence, "near")
