"""Clock positions: hours, angles, and how people say them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.codes.clock_positions import ClockPosition, find_clock, parse_clock
from asfound.errors import Misused

positions = st.builds(ClockPosition, st.integers(1, 12), st.integers(0, 59))


@pytest.mark.parametrize(
    ("hour", "minute", "angle_deg"), [(12, 0, 0), (3, 0, 90), (6, 0, 180), (9, 0, 270), (2, 30, 75), (12, 30, 15)]
)
def test_twelve_is_up_and_three_is_right(hour: int, minute: int, angle_deg: float) -> None:
    """By hand: 30 degrees an hour and half a degree a minute, clockwise from up."""
    assert ClockPosition(hour, minute).angle_deg == angle_deg


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("2 oclock", "2 o'clock"),
        ("2 o'clock", "2 o'clock"),
        ("12 o’clock", "12 o'clock"),
        ("2 O clock", "2 o'clock"),
        ("at 10", "10 o'clock"),
        ("at 10 oclock.", "10 o'clock"),
        ("half past 2", "2:30 o'clock"),
        ("Half past 10 oclock", "10:30 o'clock"),
        ("2:30 o'clock", "2:30 o'clock"),
        ("4h", "4 o'clock"),
    ],
)
def test_what_people_say_is_read(text: str, shown: str) -> None:
    """Common practice, no source."""
    position = parse_clock(text)

    assert position is not None
    assert position.shown == shown


@pytest.mark.parametrize("text", ["10", "at 10 mm", "at 12 V", "13 oclock", "at 1.5", "o'clock", "", "M10h", "at 30%"])
def test_what_is_no_clock_position_is_left_alone(text: str) -> None:
    assert find_clock(text) == []


def test_positions_are_found_inside_a_note() -> None:
    found = find_clock("gap 0.08 mm at 12, 0.05 at 6; clamp 2 oclock")

    assert [words.position.hour for words in found] == [12, 6, 2]
    assert parse_clock("clamp 2 oclock") is None


@pytest.mark.parametrize(("hour", "minute"), [(0, 0), (13, 0), (1, 60), (1, -1)])
def test_hours_that_do_not_exist_are_refused(hour: int, minute: int) -> None:
    with pytest.raises(Misused, match="clock"):
        ClockPosition(hour, minute)


@given(positions)
def test_shown_reads_back(position: ClockPosition) -> None:
    assert parse_clock(position.shown) == position


@given(st.text())
def test_any_text_is_read_without_an_error(text: str) -> None:
    assert all(0 <= words.start < words.stop <= len(text) for words in find_clock(text))
