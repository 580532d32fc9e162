"""How the command line puts places and times into words."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.actions.clock import parse_seconds
from asfound.cli import places, times


@pytest.mark.parametrize("module", [places, times])
def test_examples_of_the_docstrings_hold(module: object):
    outcome = doctest.testmod(module)  # type: ignore[arg-type]

    assert outcome.attempted > 0
    assert outcome.failed == 0


@given(st.integers(-3_000_000_000, 3_000_000_000))
def test_length_of_time_is_read_back_as_it_was_written(seconds: int):
    assert parse_seconds(times.length_in_words(seconds)) == seconds


@given(st.floats(0, 1), st.floats(0, 1))
def test_every_point_of_a_picture_has_a_place(x_frac: float, y_frac: float):
    assert places.place_in_words(x_frac, y_frac).split()[-1] in {"left", "middle", "right"}
