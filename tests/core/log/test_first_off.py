"""Before or after a removal."""

from __future__ import annotations

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.log.first_off import first_off_s, taken_when

from .makers import START, event

TIMES = st.floats(-1e9, 4e9)


@pytest.mark.parametrize(
    ("taken", "off", "when"),
    [
        (5.0, 10.0, "before"),
        (10.0, 10.0, "before"),
        (10.1, 10.0, "after"),
        (None, 10.0, "undated"),
        (5.0, None, "before"),
        (None, None, "before"),
        (0.0, -1.0, "after"),
    ],
)
def test_a_picture_is_from_before_from_after_or_undated(taken: float | None, off: float | None, when: str) -> None:
    assert taken_when(taken, off) == when


@given(TIMES, TIMES)
def test_a_picture_after_a_removal_is_after_every_earlier_one(taken: float, off: float) -> None:
    if taken_when(taken, off) == "after":
        assert taken_when(taken, off - 1) == "after"
        assert taken_when(off, taken) == "before"


def test_the_first_time_counts_in_whatever_order_it_was_written_down() -> None:
    told = [event(1, "off", 9), event(1, "refitted", 4), event(1, "off", 3), event(2, "refitted", 1)]

    for events in (told, told[::-1]):
        assert first_off_s(events) == {1: (START + timedelta(hours=3)).timestamp()}
