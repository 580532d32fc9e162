"""Whether something stands before a carried pin, on a wall with a card before it, seen by cameras side by side.

Truth is by construction: depths, and which camera the card covers the pin for.
"""

from __future__ import annotations

import numpy as np
import pytest

from asfound.core.match.in_sight import is_hidden
from asfound.core.match.pin_depth import PinDepth, estimate_depth, normalise_light
from asfound.core.match.scene import Scene

from .pictures import textured

SIZE, FOCAL = (640, 480), 600.0
WALL, CARD = 6.0, 5.0
CAMERAS = (-0.3, 0.0, 2.2, 2.5)
"""Along x; the card covers the pin for the last two."""
PIN = np.array([0.4, 0.0, WALL])
COVERING = PIN + (np.array([2.35, 0.0, 0.0]) - PIN) * (WALL - CARD) / WALL
"""Where the middle of the card is: on the line from a camera between the last two to the pin."""
HALF = 0.15
SOURCE, OPEN, COVERED = 0, 1, 2


def picture(camera: float, card: bool = True) -> np.ndarray:
    """The wall's texture shifted by its disparity, and the card's pasted on."""
    wall, front = textured(1, (1600, 480)), textured(2, (400, 400))
    shift = round(400 - FOCAL * camera / WALL)
    shown = np.roll(wall, shift - 400, axis=1)[:, :640].copy()
    if card:
        x, y = (COVERING[:2] - [camera, 0.0]) * FOCAL / CARD + (np.array(SIZE) - 1) / 2
        half = HALF * FOCAL / CARD
        low, high = round(x - half), round(x + half)
        top = round(y - half)
        shown[top : top + high - low, low:high] = front[: high - low, : high - low]
    return shown


def points(on_card: int, on_wall: int) -> np.ndarray:
    rng = np.random.default_rng(3)
    wall = np.column_stack([rng.uniform([-1.0, -1.5], [3.5, 1.5], (on_wall, 2)), np.full(on_wall, WALL)])
    card = COVERING + np.column_stack([rng.uniform(-HALF, HALF, (on_card, 2)), np.zeros(on_card)])
    return np.concatenate([wall, card])


def scene(on_card: int = 0, on_wall: int = 60) -> Scene:
    count, places = len(CAMERAS), points(on_card, on_wall)
    everywhere = [(row, point, point) for row in range(count) for point in range(len(places))]
    return Scene(
        np.arange(count, dtype=np.int32),
        np.tile(np.eye(3), (count, 1, 1)),
        np.array([[-x, 0.0, 0.0] for x in CAMERAS]),
        np.full(count, FOCAL),
        np.tile(np.array(SIZE, np.int32), (count, 1)),
        np.full(count, 50, np.int32),
        places,
        np.array(everywhere, np.int32),
    )


def seen(camera: float) -> np.ndarray:
    return (PIN[:2] - [camera, 0.0]) * FOCAL / WALL + (np.array(SIZE) - 1) / 2


def images(card: bool = True) -> dict[int, np.ndarray]:
    return {row: normalise_light(picture(x, card).astype(np.float32)) for row, x in enumerate(CAMERAS)}


def asked(place: Scene, shown: dict[int, np.ndarray], target: int) -> bool | None:
    pin = seen(CAMERAS[SOURCE])
    depth = estimate_depth(place, SOURCE, pin, shown)
    assert depth is not None
    assert depth.depths[depth.best] == pytest.approx(WALL, rel=0.03)
    return is_hidden(place, SOURCE, target, pin, depth, shown)


def test_card_before_the_pin_hides_it_where_it_covers_it() -> None:
    """No point of the scene lies on the card: it is found by comparing pictures."""
    assert asked(scene(), images(), COVERED) is True
    assert asked(scene(), images(), OPEN) is False


def test_without_the_card_the_pin_is_in_sight_everywhere() -> None:
    assert [asked(scene(), images(card=False), row) for row in (1, 2, 3)] == [False] * 3


def test_points_of_the_scene_before_the_pin_hide_it_where_it_is_not_shown() -> None:
    """Gray pictures but for the patch's own two: nothing but points can tell."""
    blank = dict.fromkeys(range(len(CAMERAS)), np.zeros((SIZE[1], SIZE[0]), np.float32))
    depth = _known_depth()

    assert is_hidden(scene(on_card=12), SOURCE, COVERED, seen(CAMERAS[SOURCE]), depth, blank) is True
    assert is_hidden(scene(on_card=0), SOURCE, COVERED, seen(CAMERAS[SOURCE]), depth, blank) is None


def test_patch_that_no_picture_shows_again_says_nothing() -> None:
    blank = dict.fromkeys(range(len(CAMERAS)), np.zeros((SIZE[1], SIZE[0]), np.float32))
    depth = _known_depth(elsewhere=0.1)

    assert is_hidden(scene(on_card=12), SOURCE, COVERED, seen(CAMERAS[SOURCE]), depth, blank) is None


def test_what_stands_at_the_pin_in_its_own_picture_hides_nothing() -> None:
    """The nearer points lie on the line from the pin's own camera: they are the joint's own surface, or its hose."""
    place = scene()
    line = np.linspace(0.7, 0.9, 12)[:, None]
    eye = np.array([CAMERAS[SOURCE], 0.0, 0.0])
    near = Scene(**{**vars(place), "points": np.concatenate([place.points, eye + (PIN - eye) * line])})
    blank = dict.fromkeys(range(len(CAMERAS)), np.zeros((SIZE[1], SIZE[0]), np.float32))

    assert is_hidden(near, SOURCE, OPEN, seen(CAMERAS[SOURCE]), _known_depth(target=OPEN), blank) is None


def test_picture_that_was_not_compared_says_nothing() -> None:
    assert is_hidden(scene(), SOURCE, 3, seen(CAMERAS[SOURCE]), _known_depth(), {}) is None


def _known_depth(target: int = COVERED, elsewhere: float = 0.9) -> PinDepth:
    other = OPEN if target != OPEN else COVERED
    scores = {target: np.array([0.0]), other: np.array([elsewhere])}
    return PinDepth(np.array([WALL]), np.ones(1), scores, 0)
