"""Groups of matches that move together, on made-up matches whose motion is known."""

from __future__ import annotations

import numpy as np
import pytest

from asfound.core.match.geometry import apply_homography
from asfound.core.match.motions import Motion, by_aim, find_motions

SIZE = (1024, 768)
DIAGONAL = 1280.0
GROUND = np.array([[1.02, 0.01, 40.0], [-0.01, 1.0, -15.0], [1e-5, 0, 1.0]])
TURNED = np.array([[0.8, -0.5, 380.0], [0.5, 0.8, -160.0], [0, 0, 1.0]])


def scattered(count: int, low: tuple[float, float], high: tuple[float, float], seed: int) -> np.ndarray:
    return np.random.default_rng(seed).uniform(low, high, (count, 2))


@pytest.fixture(scope="module")
def ground_and_machine() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """300 matches around, 60 on a machine in the middle that was turned, 40 by chance; and which is which."""
    around = scattered(900, (0, 0), SIZE, 1)
    outside = (np.abs(around - np.array(SIZE) / 2) > np.array([240, 180])).any(axis=1)
    around = around[outside][:300]
    machine = scattered(60, (300, 220), (720, 540), 2)
    chance = scattered(40, (0, 0), SIZE, 3)
    here = np.concatenate([around, machine, chance])
    there = np.concatenate(
        [apply_homography(GROUND, around), apply_homography(TURNED, machine), scattered(40, (0, 0), SIZE, 4)]
    )
    return here, there, np.repeat([0, 1, 2], [300, 60, 40])


def test_ground_and_machine_are_two_groups(ground_and_machine) -> None:
    here, there, what = ground_and_machine

    first, second = find_motions(here, there, DIAGONAL, seed=1)

    assert np.mean(what[first.members] == 0) > 0.97
    assert np.mean(what[second.members] == 1) > 0.97
    assert len(second.members) > 45


def test_what_the_pictures_aim_at_comes_first_though_it_has_fewer_matches(ground_and_machine) -> None:
    here, there, what = ground_and_machine
    found = find_motions(here, there, DIAGONAL, seed=1)

    aimed_at, around = by_aim(found, (here, there), (SIZE, SIZE))

    assert len(aimed_at.members) < len(around.members)
    assert np.mean(what[aimed_at.members] == 1) > 0.97


def test_one_rigid_scene_is_one_group() -> None:
    here = scattered(300, (0, 0), SIZE, 5)

    found = find_motions(here, apply_homography(GROUND, here), DIAGONAL, seed=1)

    assert [len(motion.members) for motion in found] == [300]


def test_chance_matches_are_no_group() -> None:
    here, there = scattered(200, (0, 0), SIZE, 6), scattered(200, (0, 0), SIZE, 7)

    found = find_motions(here, there, DIAGONAL, seed=1)

    assert len(found) == 1
    assert len(found[0].members) < 8


def test_no_matches_give_one_empty_group() -> None:
    nothing = np.zeros((0, 2))

    (only,) = find_motions(nothing, nothing, DIAGONAL, seed=1)

    assert len(only.members) == 0


def test_of_equals_the_group_found_first_comes_first() -> None:
    here = np.array([[100.0, 100.0], [900.0, 100.0]])
    motions = [Motion(np.array([k]), np.array([k]), 1, 1, None, None) for k in (0, 1)]

    assert by_aim(motions, (here, here), (SIZE, SIZE))[0] is motions[0]
