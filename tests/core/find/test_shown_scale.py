"""How large pictures show one end, chained from what is known of two pictures at a time."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.find.shown_scale import ScaleRatio, chain_scales


def test_scales_are_chained_from_picture_to_picture() -> None:
    scales = chain_scales([ScaleRatio(1, 2, 2.0, 0.9), ScaleRatio(3, 2, 8.0, 0.9), ScaleRatio(3, 4, 0.5, 0.9)])

    assert scales == pytest.approx({1: 1.0, 2: 2.0, 3: 0.25, 4: 0.125})


def test_the_surest_of_two_ways_counts() -> None:
    direct, by_way_of = ScaleRatio(1, 3, 9.0, 0.4), [ScaleRatio(1, 2, 2.0, 0.9), ScaleRatio(2, 3, 2.0, 0.9)]

    assert chain_scales([direct, *by_way_of])[3] == pytest.approx(4.0)


def test_pictures_that_do_not_hang_together_are_not_compared() -> None:
    apart = [ScaleRatio(1, 2, 2.0, 0.9), ScaleRatio(11, 12, 3.0, 0.9), ScaleRatio(12, 13, 3.0, 0.9)]

    assert set(chain_scales(apart)) == {11, 12, 13}


@pytest.mark.parametrize("ratio", [0.0, -1.0, float("nan"), float("inf")])
def test_a_ratio_that_cannot_be_is_passed_over(ratio: float) -> None:
    assert chain_scales([ScaleRatio(1, 2, ratio, 0.9)]) == {}


@given(st.lists(st.floats(0.1, 10), min_size=2, max_size=8), st.randoms(use_true_random=False))
def test_true_scales_come_back_up_to_their_unit(true: list[float], shuffler) -> None:
    ratios = [ScaleRatio(a, b, true[b] / true[a], 0.5) for a, b in pairwise(range(len(true)))]
    shuffler.shuffle(ratios)

    scales = chain_scales(ratios)

    unit = scales[0] / true[0]
    assert scales == pytest.approx({k: one * unit for k, one in enumerate(true)})
