"""Pull in the legs of a sling."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.codes.sling import COMMON_PRACTICE, DEFER, EQUAL_LEGS, estimate_each, estimate_pull
from asfound.errors import Misused

angles_deg = st.floats(30, 90)
weights_kg = st.floats(1, 10_000)


@pytest.mark.parametrize(("angle_deg", "pull_kg"), [(90, 210.0), (60, 242.5), (45, 297.0), (30, 420.0)])
def test_flatter_legs_pull_harder(angle_deg: float, pull_kg: float) -> None:
    """By hand: weight / (2 x sine of the angle from level)."""
    assert estimate_pull(420, 2, angle_deg).pull_kg == pytest.approx(pull_kg, abs=0.05)


def test_two_legs_are_counted_even_when_there_are_four() -> None:
    """Common practice, no source: of four stiff legs two may carry all."""
    assert estimate_pull(420, 4, 60).pull_kg == estimate_pull(420, 2, 60).pull_kg
    assert "two of 4 legs" in estimate_pull(420, 4, 60).words


def test_one_leg_carries_all() -> None:
    assert estimate_pull(420, 1, 90).pull_kg == 420
    assert EQUAL_LEGS not in estimate_pull(420, 1, 90).words
    assert EQUAL_LEGS in estimate_pull(420, 2, 60).words


def test_legs_at_angles_of_their_own_are_worked_out_one_by_one() -> None:
    """By hand: 100 kg at 30 and 60 degrees stand square to each other, so sin 30 and sin 60 of the weight."""
    found = estimate_each(100, (30, 60))

    assert found.pulls_kg == pytest.approx((50.0, 86.6), abs=0.05)
    assert found.pull_kg == max(found.pulls_kg)
    assert "50.0 kg in the leg at 30 and 86.6 kg in the leg at 60" in found.words
    assert estimate_each(420, (90, 90)) == estimate_pull(420, 2, 90)
    assert estimate_each(420, (29, 80)).pull_kg is None


@given(weights_kg, st.floats(30, 89), st.floats(30, 89))
def test_pulls_of_unequal_legs_are_in_balance(weight_kg: float, first_deg: float, second_deg: float) -> None:
    found = estimate_each(weight_kg, (first_deg, second_deg))
    first, second = (math.radians(angle) for angle in (first_deg, second_deg))
    up = found.pulls_kg[0] * math.sin(first) + found.pulls_kg[1] * math.sin(second)
    aside = found.pulls_kg[0] * math.cos(first) - found.pulls_kg[1] * math.cos(second)

    assert up == pytest.approx(weight_kg)
    assert aside == pytest.approx(0, abs=weight_kg * 1e-9)
    assert found.words.endswith(DEFER)


def test_no_figure_without_a_source_is_shown() -> None:
    assert not re.search(r"\d", " ".join(COMMON_PRACTICE))
    assert "eye bolt without a shoulder" in " ".join(COMMON_PRACTICE)


def test_too_flat_is_refused_with_words() -> None:
    """ASME B30.9, from memory: not under 30 degrees."""
    flat = estimate_pull(420, 2, 29.9)

    assert flat.pull_kg is None
    assert "too flat to use" in flat.words


def test_under_sixty_degrees_is_told() -> None:
    """Common practice, no source."""
    assert "keep each leg at 60" in estimate_pull(420, 2, 45).words
    assert "keep each leg" not in estimate_pull(420, 2, 60).words


@pytest.mark.parametrize(
    ("weight_kg", "legs", "angle_deg"),
    [(0, 2, 60), (-1, 2, 60), (float("nan"), 2, 60), (420, 0, 60), (420, 2, 0), (420, 2, 91), (420, 2, float("nan"))],
)
def test_nonsense_is_refused(weight_kg: float, legs: int, angle_deg: float) -> None:
    with pytest.raises(Misused):
        estimate_pull(weight_kg, legs, angle_deg)


@given(weights_kg, st.integers(2, 8), st.floats(1, 90))
def test_every_answer_defers_to_the_manual_and_rated_gear(weight_kg: float, legs: int, angle_deg: float) -> None:
    words = estimate_pull(weight_kg, legs, angle_deg).words

    assert words.endswith(DEFER)
    assert "rated gear" in words
    assert "safe" not in words.casefold()


@given(weights_kg, st.integers(2, 8), angles_deg)
def test_pull_is_between_half_the_weight_and_all_of_it(weight_kg: float, legs: int, angle_deg: float) -> None:
    pull_kg = estimate_pull(weight_kg, legs, angle_deg).pull_kg

    assert pull_kg is not None
    assert weight_kg / 2 * (1 - 1e-9) <= pull_kg <= weight_kg * (1 + 1e-9)
