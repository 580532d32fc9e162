"""Curves of belief: bounded, monotone in what speaks for them, and worked by hand at one point each."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.match.belief import CARRIED, CURVES, SHOWN_ALONE, BeliefCurve, log_odds, probability

ROOT = Path(__file__).parents[3]
curves = pytest.mark.parametrize("curve", CURVES, ids=lambda curve: curve.says)


@given(st.floats(-1e6, 1e6))
def test_probability_is_bounded_and_odds_against_are_odds_turned_about(odds):
    """The logistic function: p(-x) = 1 - p(x)."""
    assert 0 <= probability(odds) <= 1
    assert probability(odds) + probability(-odds) == pytest.approx(1)


def test_probability_worked_by_hand():
    """Odds of 3 to 1 are three quarters, even odds a half."""
    assert probability(math.log(3)) == pytest.approx(0.75)
    assert probability(0) == 0.5


@given(st.floats(0.01, 0.99))
def test_log_odds_are_the_inverse(p):
    assert probability(log_odds(p)) == pytest.approx(p)


@pytest.mark.parametrize("p", [-1.0, 0.0, 1.0, 2.0])
def test_log_odds_are_finite_even_of_what_is_certain(p):
    assert abs(log_odds(p)) == pytest.approx(math.log(999))


@curves
@given(data=st.data())
def test_curve_is_bounded_and_goes_the_way_of_its_weights(curve: BeliefCurve, data):
    low = [data.draw(st.floats(-50, 50)) for _ in curve.weights]
    high = [value + data.draw(st.floats(0, 50)) * math.copysign(1, weight) for value, weight in
            zip(low, curve.weights.values(), strict=True)]  # fmt: skip

    assert 0 <= curve.at(*low) <= curve.at(*high) <= curve.most


@curves
def test_curve_says_its_constant_where_all_measured_is_nought(curve: BeliefCurve):
    expected = 1 / (1 + math.e**-curve.constant)

    assert curve.at(*[0.0] * len(curve.weights)) == pytest.approx(min(curve.most, expected))


@curves
@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_cannot_be_measured_is_not_believed(curve: BeliefCurve, value: float):
    assert curve.at(*[value] * len(curve.weights)) == 0


@curves
def test_curve_wants_a_value_for_each_weight(curve: BeliefCurve):
    with pytest.raises(ValueError, match="zip"):
        curve.at(*[0.0] * (len(curve.weights) + 1))


@curves
def test_curve_tells_where_it_comes_from(curve: BeliefCurve):
    """The command that fits it lies in the tree."""
    script = curve.refit.split()[1]

    assert (ROOT / script).is_file()
    assert curve.fitted_on
    assert len(curve.fitted) == len("2026-11-27")


def test_machine_never_says_certain_of_a_carried_pin_or_a_place():
    assert CARRIED.at(100.0, 1.0) == SHOWN_ALONE.at(100.0, 0.0) == 0.99
