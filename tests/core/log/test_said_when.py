"""Times and days as people say them."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from asfound.core.log.said_when import SaidWhen, find_whens, read_choices, read_when, when_words

FRIDAY = datetime(2025, 10, 24, 16, 40)


def at(text: str) -> SaidWhen:
    """A moment, or a whole day where no clock is given."""
    is_day_only = " " not in text
    return SaidWhen(datetime.fromisoformat(text + " 23:59" * is_day_only), is_day_only)


@pytest.mark.parametrize(
    ("said", "when"),
    [
        ("14:20", "2025-10-24 14:20"),
        ("at 2:20 pm", "2025-10-24 14:20"),
        ("at 14.20", "2025-10-24 14:20"),
        ("9am", "2025-10-24 09:00"),
        ("12am", "2025-10-24 00:00"),
        ("noon", "2025-10-24 12:00"),
        ("half an hour ago", "2025-10-24 16:10"),
        ("2 hours ago", "2025-10-24 14:40"),
        ("yesterday", "2025-10-23"),
        ("the day before yesterday", "2025-10-22"),
        ("two days ago", "2025-10-22"),
        ("a week ago", "2025-10-17"),
        ("yesterday 14:20", "2025-10-23 14:20"),
        ("14:20 yesterday", "2025-10-23 14:20"),
        ("sat", "2025-10-18"),
        ("on sat at 9:05", "2025-10-18 09:05"),
        ("saturday", "2025-10-18"),
        ("friday", "2025-10-24"),
        ("last friday", "2025-10-17"),
        ("18 oct", "2025-10-18"),
        ("18th of october", "2025-10-18"),
        ("18 October 2024", "2024-10-18"),
        ("Oct 18th 14:20", "2025-10-18 14:20"),
        ("on the 3rd", "2025-10-03"),
        ("the 30th", "2025-09-30"),
        ("31/5", "2025-05-31"),
        ("5/31", "2025-05-31"),
        ("31.5.", "2025-05-31"),
        ("31.5.25", "2025-05-31"),
        ("31/05/2024", "2024-05-31"),
        ("2025-10-18", "2025-10-18"),
        ("2025-10-18 14:20", "2025-10-18 14:20"),
        ("25 dec", "2024-12-25"),
        ("29 feb", "2024-02-29"),
    ],
)
def test_a_time_or_a_day_is_read(said: str, when: str):
    assert read_when(said, FRIDAY) == at(when)


@pytest.mark.parametrize(
    ("said", "part"), [("yesterday evening", "evening"), ("sat morning", "morning"), ("before lunch", "before lunch")]
)
def test_a_part_of_the_day_is_kept_in_words(said: str, part: str):
    when = read_when(said, FRIDAY)

    assert when is not None
    assert (when.is_day_only, when.part) == (True, part)


def test_a_stroke_between_two_small_numbers_leaves_two_days():
    choices = read_choices("3/10", FRIDAY)

    assert choices is not None
    assert [one.at.date() for one in choices] == [date(2025, 10, 3), date(2025, 3, 10)]
    assert read_when("3/10", FRIDAY) is None


@pytest.mark.parametrize("said", ["31 june", "31/11", "25:10", "13 pm", "0 am", "2025-13-01 10:00"])
def test_what_the_calendar_or_the_clock_lacks_is_known_as_a_slip(said: str):
    assert read_choices(said, FRIDAY) == ()


@pytest.mark.parametrize("said", ["", "17", "4:1", "0.25", "at 9", "stiff", "morning", "14.20"])
def test_what_is_no_time_is_none(said: str):
    assert read_choices(said, FRIDAY) in (None, ())
    assert read_when(said, FRIDAY) is None


@pytest.mark.parametrize(
    ("typed", "hour"),
    [
        ("12 am", 0),
        ("1 am", 1),
        ("11 am", 11),
        ("12 pm", 12),
        ("1 pm", 13),
        ("11 pm", 23),
        ("13 pm", None),
        ("0 am", None),
    ],
)
def test_twelve_hour_clock_goes_from_one_to_twelve(typed: str, hour: int | None):
    """Noon is 12 pm and midnight 12 am (common practice; NIST, "Times of Day FAQs")."""
    said = read_when(typed, FRIDAY)

    assert (None if said is None else said.at.hour) == hour


def test_a_day_soon_to_come_is_not_taken_for_last_years():
    said = read_when("30 oct", FRIDAY)

    assert said is not None
    assert said.at.date() == date(2025, 10, 30), "it is refused where it is written, as still to come"


def test_times_in_a_line_are_found_where_they_stand():
    spans = find_whens("yesterday 14:20 , 17 off where it sat".split(), FRIDAY)

    assert [(span.start, span.stop) for span in spans] == [(0, 2)]


def test_a_day_is_told_as_it_is_read_back():
    told = when_words(datetime(2025, 10, 18, 14, 20))

    assert told == "Sat 18 Oct 2025 14:20"
    assert read_when(told.partition(" ")[2], FRIDAY) == at("2025-10-18 14:20")
    assert when_words(datetime(2025, 10, 18), is_day_only=True) == "Sat 18 Oct 2025"
