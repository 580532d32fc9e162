"""Changes of a zone's clocks, and neighbours in time that a wrong clock puts in the wrong order."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.capture.clock_changes import count_out_of_order, find_clock_changes, place_typed
from asfound.errors import Misused

AMSTERDAM = ZoneInfo("Europe/Amsterdam")


def test_changes_of_the_scenario_are_found_to_the_minute():
    """IANA zone data: back on 2025-10-26 at 03:00 summer time, forward on 2026-03-29 at 02:00 winter time."""
    found = find_clock_changes(datetime(2025, 10, 11, 9, 30), datetime(2026, 4, 26, 18), AMSTERDAM)

    assert found == [datetime(2025, 10, 26, 3, 0), datetime(2026, 3, 29, 2, 0)]


def test_no_change_between_is_none():
    assert find_clock_changes(datetime(2025, 10, 26, 9), datetime(2026, 3, 28), AMSTERDAM) == []
    assert find_clock_changes(datetime(2025, 10, 25, 9), datetime(2025, 10, 25, 9), AMSTERDAM) == []
    assert find_clock_changes(datetime(2025, 1, 1), datetime(2026, 1, 1), ZoneInfo("UTC")) == []


def test_camera_reset_to_its_first_day_does_not_take_decades():
    assert len(find_clock_changes(datetime(1970, 1, 2), datetime(2200, 1, 1), AMSTERDAM)) < 60


def test_typed_time_that_was_twice_is_asked_back_with_both_to_type():
    """IANA zone data: in Amsterdam the clocks went back on 2025-10-26 at 03:00."""
    with pytest.raises(Misused) as told:
        place_typed(datetime(2025, 10, 26, 2, 30), AMSTERDAM)

    assert "2025-10-26T02:30:00+02:00 or 2025-10-26T02:30:00+01:00" in str(told.value)
    for minutes in (120, 60):
        at = datetime.fromisoformat(f"2025-10-26T02:30:00+0{minutes // 60}:00")
        assert place_typed(at, AMSTERDAM).utcoffset() == timedelta(minutes=minutes)


def test_typed_time_that_never_was_is_refused():
    """IANA zone data: in Amsterdam the clocks went forward on 2026-03-29 at 02:00."""
    with pytest.raises(Misused, match="never came in Europe/Amsterdam"):
        place_typed(datetime(2026, 3, 29, 2, 30), AMSTERDAM)


@given(st.datetimes(datetime(1971, 1, 1), datetime(2099, 1, 1)))
def test_typed_time_keeps_its_hands_or_is_asked_back(typed: datetime):
    try:
        placed = place_typed(typed, AMSTERDAM)
    except Misused:
        assert typed.month in (3, 4, 9, 10, 11)
    else:
        assert placed.replace(tzinfo=None) == typed
        assert datetime.fromtimestamp(placed.timestamp(), AMSTERDAM).replace(tzinfo=None) == typed


def test_neighbours_are_counted_that_stand_the_other_way_round():
    """By hand."""
    assert count_out_of_order({1: 0.0, 2: 5.0, 3: 3.0}, {1: 0.0, 2: 1.0, 3: 3.0}) == 1
    assert count_out_of_order({}, {}) == 0


@given(st.dictionaries(st.integers(0, 30), st.floats(0, 1e6), max_size=12))
def test_clock_that_is_right_puts_nothing_out_of_order(times: dict[int, float]):
    assert count_out_of_order(times, times) == 0
