"""Scenes and carried pins, on points whose places in space are known."""

from __future__ import annotations

import numpy as np
import pytest

from asfound.core.match.aim import Aim, are_one_place, choose_spot, find_aim
from asfound.core.match.carry import HandPin, carry_pins
from asfound.core.match.likeness import Likeness
from asfound.core.match.pixels import frac_from_px
from asfound.core.match.reconstruct import place_in_scene
from asfound.core.match.resection import point_likeness
from asfound.core.match.scene import Scene, ScenePicture, build_scene, empty_scene, pack_scene, unpack_scene
from asfound.core.match.verify import verify_pair

from .pictures import World

ANGLES = [0.0, 10.0, 22.0, 35.0]


def likenesses_of(pictures: list[ScenePicture]) -> dict[tuple[int, int], Likeness]:
    return {
        (a.picture_id, b.picture_id): verify_pair(a.features, b.features)
        for a in pictures
        for b in pictures
        if a.picture_id < b.picture_id
    }


@pytest.fixture(scope="module")
def world() -> World:
    return World()


@pytest.fixture(scope="module")
def pictures(world: World) -> list[ScenePicture]:
    return [ScenePicture(k, world.features(angle), world.focal) for k, angle in enumerate(ANGLES)]


@pytest.fixture(scope="module")
def scene(pictures: list[ScenePicture]) -> Scene:
    return build_scene(pictures, likenesses_of(pictures), seed=1)


def test_turns_between_cameras_are_recovered(scene: Scene) -> None:
    assert scene.picture_ids.tolist() == [0, 1, 2, 3]
    for row, angle in enumerate(ANGLES):
        turn = scene.rotations[row] @ scene.rotations[0].T
        assert np.degrees(np.arccos((np.trace(turn) - 1) / 2)) == pytest.approx(angle, abs=0.5)


def test_stored_scene_comes_back(scene: Scene) -> None:
    back = unpack_scene(pack_scene(scene))

    assert np.array_equal(back.points, scene.points)
    assert np.array_equal(back.sightings, scene.sightings)
    with pytest.raises(ValueError, match="scene"):
        unpack_scene(b"nonsense")


def test_same_seed_gives_the_same_scene(pictures: list[ScenePicture], scene: Scene) -> None:
    assert pack_scene(build_scene(pictures, likenesses_of(pictures), seed=1)) == pack_scene(scene)


def test_pin_is_carried_through_depth_to_where_its_point_lies(
    world: World, pictures: list[ScenePicture], scene: Scene
) -> None:
    """A pin on a point in front of the others lands on that point, not where their plane would send it."""
    target = int(np.argmin(np.linalg.norm(world.points[:, :2], axis=1)))
    places = {
        k: frac_from_px(world.project(world.points[[target]], angle)[0], world.size) for k, angle in enumerate(ANGLES)
    }
    hands = [HandPin("7A", k, *map(float, places[k])) for k in (0, 2)]

    carried = carry_pins(hands, pictures, {}, load_gray=lambda k: drawn(world, ANGLES[k], target), scene=scene)

    by_picture = {pin.picture_id: pin for pin in carried}
    assert set(by_picture) == {1, 3}
    for k, pin in by_picture.items():
        assert np.hypot(pin.x_frac - places[k][0], pin.y_frac - places[k][1]) < 0.02
        assert pin.inside
        assert pin.how == "depth"


def test_carried_scale_is_that_of_the_distances(world: World, pictures: list[ScenePicture], scene: Scene) -> None:
    """By a pinhole, how large a thing shows goes with one over its distance (Hartley and Zisserman, section 6.1)."""
    target = int(np.argmin(world.points[:, 2]))
    here = frac_from_px(world.project(world.points[[target]], 0.0)[0], world.size)
    point = world.points[target]
    far = {k: float(np.linalg.norm(c.rotation @ point + c.translation)) for k, c in cameras(world).items()}

    carried = carry_pins(
        [HandPin("7A", 0, *map(float, here))],
        pictures,
        {},
        load_gray=lambda k: drawn(world, ANGLES[k], target),
        scene=scene,
        least_confidence=0,
    )

    assert [pin.from_id for pin in carried] == [0, 0, 0]
    assert max(abs(far[0] / far[k] - 1) for k in (1, 2, 3)) > 0.05, "else the test could not fail"
    for pin in carried:
        assert pin.scale == pytest.approx(far[0] / far[pin.picture_id], rel=0.03)


def cameras(world: World) -> dict[int, tuple[np.ndarray, np.ndarray]]:
    return {k: world.camera(angle) for k, angle in enumerate(ANGLES)}


def drawn(world: World, degrees: float, target: int) -> np.ndarray:
    """The world's points as dots of their own gray, the target as a larger ring, so that patches tell depth."""
    import cv2

    gray = np.full((world.size[1], world.size[0]), 90, np.uint8)
    for k, (x, y) in enumerate(world.project(world.points, degrees)):
        value = int(world.descriptors[k, 0]) * 2 + 40
        cv2.circle(gray, (round(x), round(y)), 14 if k == target else 7, value, -1 if k != target else 4)
    return gray


def test_later_picture_with_half_the_points_gone_is_placed(
    world: World, pictures: list[ScenePicture], scene: Scene
) -> None:
    keep = np.arange(len(world.points)) % 2 == 0
    later = ScenePicture(9, world.features(16, keep=keep), world.focal)

    placed = place_in_scene(scene, pictures, later)

    assert placed is not None
    row = placed.row_of(9)
    assert row is not None
    turn = placed.rotations[row] @ placed.rotations[0].T
    assert np.degrees(np.arccos((np.trace(turn) - 1) / 2)) == pytest.approx(16, abs=0.7)


def test_lone_picture_aims_at_the_spot_though_half_of_it_is_gone(
    world: World, pictures: list[ScenePicture], scene: Scene
) -> None:
    keep = np.arange(len(world.points)) % 2 == 0
    aim = find_aim(scene, pictures, ScenePicture(9, world.features(16, keep=keep), world.focal))

    assert aim is not None
    assert aim.gap < 0.05
    assert aim.scale == pytest.approx(1, abs=0.15)
    assert aim.takes_in(0.0)


def test_picture_of_another_place_aims_nowhere(pictures: list[ScenePicture], scene: Scene) -> None:
    other = World(seed=50)

    assert find_aim(scene, pictures, ScenePicture(9, other.features(5), other.focal)) is None


def test_scene_that_agrees_roughly_takes_in_only_what_a_picture_vouches_for() -> None:
    beside = Aim(gap=0.2, scale=1.1)

    assert beside.takes_in(0.9)
    assert beside.takes_in(0.7)
    assert not beside.takes_in(0.5)
    assert not Aim(gap=0.4, scale=1.1).takes_in(0.9)


def test_picture_from_nearer_is_of_the_spot_and_one_from_afar_is_not() -> None:
    assert Aim(gap=0.05, scale=0.5).takes_in(0.0)
    assert not Aim(gap=0.05, scale=1.6).takes_in(0.0)


def test_spot_is_chosen_only_where_no_other_shows_the_picture_about_as_well() -> None:
    unsure = {1: 0.7, 2: 0.0}

    assert choose_spot({1: Aim(0.18, 1.0), 2: Aim(0.3, 1.0)}, unsure) == 1
    assert choose_spot({1: Aim(0.18, 1.0), 2: Aim(0.2, 3.0)}, unsure) is None
    assert choose_spot({1: Aim(0.1, 1.0), 2: Aim(0.11, 1.0)}, unsure) == 1
    assert choose_spot({1: Aim(0.5, 1.0)}, {1: 0.99}) is None
    assert choose_spot({}, {}) is None


def test_two_spots_are_one_where_half_of_the_pictures_aim_there() -> None:
    there, aside = Aim(0.1, 1.0), Aim(0.3, 1.0)

    assert are_one_place([there, there, None, aside])
    assert not are_one_place([there, None])
    assert not are_one_place([there, there, None, aside, aside])


def test_likeness_to_a_point_is_that_of_its_best_sighting() -> None:
    rng = np.random.default_rng(3)
    keypoints, sightings = rng.random((7, 128), np.float32), rng.random((11, 128), np.float32)
    points_of = np.array([2, 0, 1, 1, 0, 3, 3, 3, 2, 1, 3])

    found = point_likeness(keypoints, sightings, points_of)

    table = keypoints @ sightings.T
    expected = [[max(row[points_of == point]) for point in range(4)] for row in table]
    np.testing.assert_allclose(found, expected, rtol=1e-5)


def test_picture_of_another_place_is_not_placed(pictures: list[ScenePicture], scene: Scene) -> None:
    other = World(seed=50)

    assert place_in_scene(scene, pictures, ScenePicture(9, other.features(5), other.focal)) is None


def test_one_plane_and_one_viewpoint_give_no_scene(world: World) -> None:
    """Three pictures from one place hold no depth."""
    still = [ScenePicture(k, world.features(0), world.focal) for k in range(3)]

    assert len(build_scene(still, likenesses_of(still), seed=1).points) < 20


def test_nothing_to_build_from_gives_an_empty_scene(pictures: list[ScenePicture]) -> None:
    assert len(build_scene([], {}, seed=1).picture_ids) == 0
    assert len(build_scene(pictures[:1], {}, seed=1).picture_ids) == 0


def test_pins_without_depth_go_by_the_nearest_matches(pictures: list[ScenePicture], world: World) -> None:
    pair = pictures[:2]
    hand = HandPin("3", 0, 0.5, 0.5, 0.1, 0.05)

    carried = carry_pins(
        [hand],
        pair,
        likenesses_of(pair),
        load_gray=lambda _: np.zeros((8, 8), np.uint8),
        scene=empty_scene(),
        least_confidence=0.0,
    )

    assert [pin.how for pin in carried] == ["near"]
    assert carried[0].w_frac == pytest.approx(0.1, rel=0.4)


def test_pin_on_an_unknown_picture_is_passed_over(pictures: list[ScenePicture], scene: Scene) -> None:
    said = carry_pins(
        [HandPin("1", 77, 0.5, 0.5)], pictures, {}, load_gray=lambda _: np.zeros((8, 8), np.uint8), scene=scene
    )

    assert said == []
