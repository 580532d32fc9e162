"""Which way a pin is carried: through depth, or by the matches around it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from asfound.core.match import carry
from asfound.core.match.carry import MOST_UNBORNE, CarriedPin, HandPin, carry_pins
from asfound.core.match.pin_near import NearPlace
from asfound.core.match.pixels import frac_from_px
from asfound.core.match.scene import Scene, ScenePicture, build_scene

from .pictures import World
from .test_scene import ANGLES, drawn, likenesses_of

CLOSE_BY, FAR_OFF = 0.02, 0.2


@pytest.fixture(scope="module")
def world() -> World:
    return World()


@pytest.fixture(scope="module")
def pictures(world: World) -> list[ScenePicture]:
    return [ScenePicture(k, world.features(angle), world.focal) for k, angle in enumerate(ANGLES)]


@pytest.fixture(scope="module")
def scene(pictures: list[ScenePicture]) -> Scene:
    return build_scene(pictures, likenesses_of(pictures), seed=1)


def carried_to_1(
    world: World, pictures: list[ScenePicture], scene: Scene, near: NearPlace | None, monkeypatch: pytest.MonkeyPatch
) -> CarriedPin:
    """A pin on a point of picture 0 carried to picture 1, the matches around it leading to `near`."""
    target = int(np.argmin(np.linalg.norm(world.points[:, :2], axis=1)))
    at = frac_from_px(world.project(world.points[[target]], ANGLES[0])[0], world.size)
    monkeypatch.setattr(carry, "_near_place", lambda *_: near)
    (pin,) = carry_pins(
        [HandPin("7A", 0, *map(float, at))],
        pictures,
        {},
        load_gray=lambda k: drawn(world, ANGLES[k], target),
        scene=scene,
        onto=[1],
        least_confidence=0,
    )
    return pin


def true_place(world: World) -> np.ndarray:
    target = int(np.argmin(np.linalg.norm(world.points[:, :2], axis=1)))
    return np.asarray(world.project(world.points[[target]], ANGLES[1])[0], np.float64)


def matches_lead(place: np.ndarray, nearest: float) -> NearPlace:
    return NearPlace(place, np.eye(2), nearest, 0.003)


def test_close_matches_that_lead_elsewhere_win_over_depth(world, pictures, scene, monkeypatch) -> None:
    """The pin's thing was moved against what the scene stands on."""
    elsewhere = true_place(world) + 0.2 * np.array(world.size)

    pin = carried_to_1(world, pictures, scene, matches_lead(elsewhere, CLOSE_BY), monkeypatch)

    assert pin.how == "near"
    assert [pin.x_frac, pin.y_frac] == pytest.approx(frac_from_px(elsewhere, world.size))


def test_distant_matches_that_lead_elsewhere_leave_depth_its_place_but_doubt(
    world, pictures, scene, monkeypatch
) -> None:
    elsewhere = true_place(world) + 0.2 * np.array(world.size)

    pin = carried_to_1(world, pictures, scene, matches_lead(elsewhere, FAR_OFF), monkeypatch)

    assert pin.how == "depth"
    assert pin.confidence <= MOST_UNBORNE


def test_depth_that_matches_bear_out_is_surer_than_depth_alone(world, pictures, scene, monkeypatch) -> None:
    alone = carried_to_1(world, pictures, scene, None, monkeypatch)
    borne_out = carried_to_1(world, pictures, scene, matches_lead(true_place(world), FAR_OFF), monkeypatch)

    assert alone.how == borne_out.how == "depth"
    assert alone.confidence <= MOST_UNBORNE < borne_out.confidence


def test_scene_of_two_pictures_claims_no_depth(world, pictures, monkeypatch) -> None:
    pair = pictures[:2]
    two = build_scene(pair, likenesses_of(pair), seed=1)

    pin = carried_to_1(world, pair, two, matches_lead(true_place(world), CLOSE_BY), monkeypatch)

    assert len(two.picture_ids) == 2
    assert pin.how == "near"


def test_pin_that_nothing_leads_on_is_not_carried(world, pictures, scene, monkeypatch) -> None:
    monkeypatch.setattr(carry, "_near_place", lambda *_: None)
    nowhere = replace(scene, picture_ids=scene.picture_ids + 100)

    said = carry_pins(
        [HandPin("7A", 0, 0.5, 0.5)],
        pictures,
        {},
        load_gray=lambda _: np.zeros((8, 8), np.uint8),
        scene=nowhere,
        least_confidence=0,
    )

    assert said == []
