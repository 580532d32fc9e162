"""Whether what agrees takes in the middle of a picture."""

from __future__ import annotations

import math

import numpy as np
import pytest

from asfound.core.match.features import detect_features
from asfound.core.match.likeness import Likeness
from asfound.core.match.middle import LEAST_SHARE, middle_share
from asfound.core.match.spots import pair_evidence
from asfound.core.match.verify import verify_pair

from .pictures import textured

EVERYWHERE = np.random.default_rng(1).uniform(0, 1, (4000, 2))
AROUND = EVERYWHERE[(np.abs(EVERYWHERE - 0.5) > 0.35).any(axis=1)]
INSIDE = EVERYWHERE[(np.abs(EVERYWHERE - 0.5) < 0.2).all(axis=1)]


def test_what_agrees_everywhere_holds_as_much_of_the_middle_as_of_the_whole() -> None:
    assert middle_share(EVERYWHERE[::2], EVERYWHERE) == pytest.approx(1, abs=0.05)


def test_what_agrees_around_the_middle_alone_holds_little_of_it() -> None:
    assert middle_share(AROUND, EVERYWHERE) < LEAST_SHARE
    assert middle_share(INSIDE, EVERYWHERE) > 1.5


def test_few_matches_around_the_middle_say_little() -> None:
    assert middle_share(AROUND[:100], EVERYWHERE) < middle_share(AROUND[:2], EVERYWHERE)


def test_bare_middle_is_not_missed() -> None:
    """Where all keypoints lie around the middle, so do those that agree."""
    assert middle_share(AROUND[::2], AROUND) == pytest.approx(1, abs=0.05)


def test_picture_without_keypoints_holds_nothing() -> None:
    assert middle_share(np.zeros((0, 2)), np.zeros((0, 2))) == 0


@pytest.fixture(scope="module")
def two_things_on_one_wall() -> Likeness:
    """The same wall in the same place, and another thing before the middle of it."""
    wall, first, second = textured(5), textured(99), textured(7)
    grays = [wall.copy(), wall.copy()]
    for gray, thing in zip(grays, (first, second), strict=True):
        height, width = gray.shape
        rows, columns = slice(height // 8, height * 7 // 8), slice(width // 8, width * 7 // 8)
        gray[rows, columns] = thing[rows, columns]
    return verify_pair(*map(detect_features, grays))


def test_two_things_before_one_wall_are_not_one_spot(two_things_on_one_wall: Likeness) -> None:
    """However much of the wall agrees."""
    assert two_things_on_one_wall.agreeing > 100
    assert two_things_on_one_wall.centre_gap == math.inf
    assert pair_evidence(two_things_on_one_wall.summary) < -0.5
