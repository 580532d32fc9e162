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


def scene() -> Scene:
    """No point lies on the card, so that only comparing pictures can find it."""
    count = len(CAMERAS)
    places = np.column_stack([np.random.default_rng(3).uniform([-1.0, -1.5], [3.5, 1.5], (60, 2)), np.full(60, WALL)])
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
    assert asked(scene(), images(), COVERED) is True
    assert asked(scene(), images(), OPEN) is False


def test_without_the_card_the_pin_is_in_sight_everywhere() -> None:
    assert [asked(scene(), images(card=False), row) for row in (1, 2, 3)] == [False] * 3


def test_without_another_picture_of_what_stands_there_nothing_is_said() -> None:
    """Only one picture has the card: its depth cannot be told."""
    shown = images(card=False)
    shown[COVERED] = images()[COVERED]

    assert asked(scene(), shown, COVERED) is None


def test_patch_that_no_other_picture_shows_says_nothing() -> None:
    shown = images()
    depth = _known_depth(COVERED, elsewhere=0.4)

    assert is_hidden(scene(), SOURCE, COVERED, seen(CAMERAS[SOURCE]), depth, shown) is None
    assert is_hidden(scene(), SOURCE, COVERED, seen(CAMERAS[SOURCE]), _known_depth(COVERED), shown) is True


def test_what_stands_at_the_pin_in_its_own_picture_hides_nothing() -> None:
    """The pin was guessed too deep, behind the wall that it is on."""
    pin = seen(CAMERAS[SOURCE])
    deep = _known_depth(OPEN, depth=1.15 * WALL)

    assert is_hidden(scene(), SOURCE, OPEN, pin, deep, images(card=False)) is None


def test_picture_that_was_not_compared_says_nothing() -> None:
    assert is_hidden(scene(), SOURCE, 3, seen(CAMERAS[SOURCE]), _known_depth(OPEN), {}) is None


def _known_depth(target: int, elsewhere: float = 0.9, depth: float = WALL) -> PinDepth:
    other = OPEN if target != OPEN else COVERED
    return PinDepth(np.array([depth]), np.ones(1), {target: np.array([0.0]), other: np.array([elsewhere])}, 0)
