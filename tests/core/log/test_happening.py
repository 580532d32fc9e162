"""What happened, in one typed line."""

from __future__ import annotations

from datetime import date, datetime

import pytest

from asfound.core.log.happening import Happening, parse_happening, said_of
from asfound.core.log.said_when import SaidWhen, read_when, when_words
from asfound.errors import Misused

FRIDAY = date(2025, 10, 24)
OFF = Happening(("17",), "off")


def at(text: str) -> SaidWhen:
    """A moment, or a whole day where no clock is given."""
    is_day_only = " " not in text
    return SaidWhen(datetime.fromisoformat(text + " 23:59" * is_day_only), is_day_only)


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("17 off bag 4 clip rusted", Happening(("17",), "off", bag="4", note="clip rusted")),
        ("17 off", Happening(("17",), "off")),
        ("17 came off, stiff, into bag B4", Happening(("17",), "off", bag="B4", note="stiff")),
        ("17 off back in place", Happening(("17",), "off", bag="back in place")),
        ("18, 19 and 20 on tight", Happening(("18", "19", "20"), "refitted", "tight")),
        ("18 by hand", Happening(("18",), "refitted", "by hand")),
        ("24a capped red bung", Happening(("24a",), "capped", note="red bung")),
        ("9 sent out to the injector shop", Happening(("9",), "sent out", note="to the injector shop")),
        ("17 off handbag of rags", Happening(("17",), "off", note="handbag of rags")),
        ("17 OFF Bag of bolts lost", Happening(("17",), "off", note="Bag of bolts lost")),
    ],
)
def test_line_is_read_field_by_field(line: str, read: Happening):
    assert parse_happening(line, FRIDAY) == read


@pytest.mark.parametrize("line", ["", "17", "off", "hose is stiff", "17 stiff"])
def test_line_without_a_number_or_an_event_is_refused_with_an_example(line: str):
    with pytest.raises(Misused, match="17 off bag 4"):
        parse_happening(line, FRIDAY)


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("off", "17 off"),
        ("off, stiff, bag 4", "17 off, stiff, bag 4"),
        ("on tight", "17 on tight"),
        ("came off 14:20", "17 came off 14:20"),
        ("14:20 off", "14:20 17 off"),
        ("yesterday 14:20 off bag 4", "yesterday 14:20 17 off bag 4"),
        ("off 18 oct", "17 off 18 oct"),
        ("note 12 mm spanner", "17 note 12 mm spanner"),
        ("", "17"),
        ("12 off", "12 off"),
        ("W12 off", "W12 off"),
        ("yesterday 14:20 12 off", "yesterday 14:20 12 off"),
        ("17 off", "17 off"),
    ],
)
def test_a_line_is_of_the_thing_in_hand_unless_a_number_stands_first(typed: str, line: str):
    assert said_of("17", typed) == line


@pytest.mark.parametrize(
    ("line", "when"),
    [
        ("14:20 off 17", "2025-10-24 14:20"),
        ("17 off 14:20", "2025-10-24 14:20"),
        ("17 off at 2:20 pm", "2025-10-24 14:20"),
        ("9am 17 off", "2025-10-24 09:00"),
        ("17 off 12am", "2025-10-24 00:00"),
        ("yesterday 17 off", "2025-10-23"),
        ("yesterday 14:20, 17 off", "2025-10-23 14:20"),
        ("17 off 14:20 yesterday", "2025-10-23 14:20"),
        ("sat 17 off", "2025-10-18"),
        ("17 off on sat at 9:05", "2025-10-18 09:05"),
        ("17 off saturday", "2025-10-18"),
        ("friday 17 off", "2025-10-24"),
        ("18 oct 17 off", "2025-10-18"),
        ("17 off, 18 October 2024", "2024-10-18"),
        ("Oct 18th 14:20 17 off", "2025-10-18 14:20"),
        ("30 oct 17 off", "2024-10-30"),
        ("2025-10-18 17 off", "2025-10-18"),
        ("17 off 2025-10-18 14:20", "2025-10-18 14:20"),
    ],
)
def test_a_time_or_a_day_stands_first_or_last(line: str, when: str):
    assert parse_happening(line, FRIDAY) == Happening(("17",), "off", when=at(when))


def test_a_time_that_was_twice_can_be_typed_with_its_offset():
    said = parse_happening("17 off 2025-10-26T02:30:00+01:00", date(2025, 10, 27))
    assert said.when == SaidWhen(datetime.fromisoformat("2025-10-26T02:30:00+01:00"))


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("17 off stiff where it sat", Happening(("17",), "off", note="stiff where it sat")),
        ("17 note ring the shop monday", Happening(("17",), "note", note="ring the shop monday")),
        ("17 off 31 june", Happening(("17",), "off", note="31 june")),
        ("17 off 25:10", Happening(("17",), "off", note="25:10")),
        ("17 on yesterday", Happening(("17",), "refitted", when=at("2025-10-23"))),
        ("12.2 off bag 4", Happening(("12.2",), "off", bag="4")),
        ("17 off washers 4:1", Happening(("17",), "off", note="washers 4:1")),
    ],
)
def test_words_that_are_no_time_stay_in_the_note(line: str, read: Happening):
    assert parse_happening(line, FRIDAY) == read


@pytest.mark.parametrize(
    ("line", "read"),
    [
        ("off 17", OFF),
        ("off 17, 18 and 19 bag 4", Happening(("17", "18", "19"), "off", bag="4")),
        ("came off 17 4 washers", Happening(("17",), "off", note="4 washers")),
        ("on tight 17", Happening(("17",), "refitted", "tight")),
    ],
)
def test_the_number_may_stand_behind_what_happened(line: str, read: Happening):
    assert parse_happening(line, FRIDAY) == read


def test_a_day_is_told_as_it_is_read_back():
    told = when_words(datetime(2025, 10, 18, 14, 20))
    assert told == "Sat 18 Oct 2025 14:20"
    assert read_when(told.split()[1:], FRIDAY) == at("2025-10-18 14:20")
    assert when_words(datetime(2025, 10, 18), is_day_only=True) == "Sat 18 Oct 2025"


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("17 off, stiff, cracked", "stiff, cracked"),
        ("17 off , stiff", "stiff"),
        (", 17 off stiff;", "stiff"),
        ("17 off stiff", "stiff"),
    ],
)
def test_commas_stay_in_the_note_and_go_at_its_ends(text: str, note: str) -> None:
    happening = parse_happening(text, FRIDAY)

    assert (happening.numbers, happening.note) == (("17",), note)


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
def test_twelve_hour_clock_goes_from_one_to_twelve(typed: str, hour: int | None) -> None:
    """Noon is 12 pm and midnight 12 am (common practice; NIST, "Times of Day FAQs")."""
    said = read_when(typed.split(), FRIDAY)

    assert (None if said is None else said.at.hour) == hour


@pytest.mark.parametrize(
    ("typed", "day"),
    [("today", FRIDAY), ("24 oct", FRIDAY), ("oct 25", date(2024, 10, 25)), ("23 oct", date(2025, 10, 23))],
)
def test_day_without_a_year_is_the_latest_that_is_not_to_come(typed: str, day: date) -> None:
    """By hand."""
    said = read_when(typed.split(), FRIDAY)

    assert said is not None
    assert said.at.date() == day
