"""The hour as it is said."""

from __future__ import annotations

from datetime import datetime, time

import pytest

from asfound.core.log.said_when import read_choices
from asfound.core.log.spoken_clock import read_spoken

NOW = datetime(2025, 11, 5, 16, 40)


@pytest.mark.parametrize(
    ("said", "times"),
    [
        ("quarter past nine", "09:15 21:15"),
        ("half past three", "03:30 15:30"),
        ("ten to twelve", "11:50 23:50"),
        ("five to one", "12:55 00:55"),
        ("twenty five past two pm", "14:25"),
        ("two thirty pm", "14:30"),
        ("at 9 in the morning", "09:00"),
        ("at 3 this afternoon", "15:00"),
        ("14 o'clock", "14:00"),
        ("9 o'clock", "09:00 21:00"),
        ("twelve pm", "12:00"),
        ("twelve am", "00:00"),
        ("10 this morning", ""),
        ("20 to 22", ""),
        ("14 pm", ""),
        ("half nine", ""),
        ("at nine", ""),
        ("25 o'clock", ""),
    ],
)
def test_hours_in_words(said: str, times: str):
    assert sorted(read_spoken(said.split())) == sorted(time.fromisoformat(one) for one in times.split())


def test_of_two_halves_of_the_day_only_what_has_been_counts():
    assert read_choices("quarter past nine", NOW) == read_choices("9:15", NOW)
    assert read_choices("half past three", NOW) != read_choices("15:30", NOW)
    assert len(read_choices("yesterday at half past three", NOW) or ()) == 2
    assert read_choices("2 o'clock pm", NOW) == read_choices("14:00", NOW)
