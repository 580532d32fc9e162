"""Votes of matches that come from one similarity, by construction, and of one that says something else."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.match.similarity_votes import VoteTolerance, votes_agree

SIZE = (640, 480)
TIGHT = VoteTolerance(turn_deg=1.0, octaves=0.05, apart=0.01)


def keypoints(count: int = 12, seed: int = 0) -> np.ndarray:
    """Places, diameters and angles anywhere in the picture."""
    low, high = [0, 0, 3, 0], [SIZE[0] - 1, SIZE[1] - 1, 40, 360]
    return np.random.default_rng(seed).uniform(low, high, (count, 4)).astype(np.float32)


def moved(rows: np.ndarray, growth: float, turn_deg: float, shift: tuple[float, float] = (0, 0)) -> np.ndarray:
    """The keypoints in a picture that is larger, turned clockwise on screen and shifted."""
    turn = np.radians(turn_deg)
    matrix = growth * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    places = rows[:, :2] @ matrix.T + shift
    return np.column_stack([places, rows[:, 2] * growth, np.mod(rows[:, 3] + turn_deg, 360)]).astype(np.float32)


@given(st.floats(0.3, 3), st.floats(-180, 180), st.tuples(st.floats(-500, 500), st.floats(-500, 500)))
def test_matches_of_one_similarity_all_agree(growth, turn_deg, shift):
    rows = keypoints()

    assert votes_agree(rows, moved(rows, growth, turn_deg, shift), SIZE, TIGHT).all()


@pytest.mark.parametrize(
    ("growth", "turn_deg", "shift"), [(1.1, 0, (0, 0)), (1, 3, (0, 0)), (1, 0, (20, 0))], ids=["size", "turn", "place"]
)
def test_match_that_says_another_size_turn_or_place_agrees_with_none(growth, turn_deg, shift):
    """By hand: 1.1 is .14 octaves; 20 pixels are .025 of a diagonal of 800."""
    here = keypoints()
    there = here.copy()
    there[0] = moved(here[:1], growth, turn_deg, shift)[0]

    agree = votes_agree(here, there, SIZE, TIGHT)

    assert agree[0].tolist() == [True] + [False] * 11
    assert agree[1:, 1:].all()


def test_turns_just_left_and_right_of_nought_agree():
    here = keypoints(2)
    there = here.copy()
    there[:, 3] = np.mod(here[:, 3] + [-0.4, 0.4], 360)

    assert votes_agree(here, there, SIZE, TIGHT).all()


def test_what_shows_small_must_lie_as_near_as_it_is_small_unless_told_otherwise():
    """By hand: at a tenth of its size a picture's diagonal is 80 pixels; a hundredth of that is less than 3 pixels."""
    here = keypoints(2)
    there = moved(here, 0.1, 0)
    there[1, 0] += 3

    assert not votes_agree(here, there, SIZE, TIGHT)[0, 1]
    assert votes_agree(here, there, SIZE, VoteTolerance(1.0, 0.05, 0.01, least_growth=1.0))[0, 1]
