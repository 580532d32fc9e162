"""Readings weighed against the job's numbers and pins: what raises and lowers them, and that none is hidden."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from asfound.core.pins.numbering import upside_down
from asfound.core.read.agree import NearPin, agree
from asfound.core.read.reading import Reading


def read(number: str, x: float = 0.5, y: float = 0.5, *, sure: float = 0.8, how: str = "written") -> Reading:
    other = upside_down(number) if how == "written" else None
    end = "A" if how == "marker" else None
    return Reading(number, end, how, x, y, 0.05, 0.04, sure, other if other != number else None)  # type: ignore[arg-type]


def pin(number: str, x: float = 0.52, y: float = 0.52, *, end: str = "B", sure: float = 1.0) -> NearPin:
    return NearPin(int(number), number, end, x, y, sure)  # type: ignore[arg-type]


def test_number_of_the_job_gains_and_an_unknown_one_loses_and_says_so():
    known, unknown = agree([read("17", 0.2), read("43", 0.8)], {"17", "18"})

    assert known.confidence > 0.8
    assert known.doubt == ""
    assert unknown.confidence < 0.8
    assert unknown.doubt == "no tag 43 is known"


def test_without_numbers_to_compare_with_nothing_is_lowered():
    assert agree([read("17")], set()) == [read("17")]


def test_pin_of_the_same_number_beside_it_tells_the_end():
    (weighed,) = agree([read("17")], {"17"}, [pin("17")])

    assert weighed.end == "B"
    assert weighed.confidence > agree([read("17")], {"17"})[0].confidence
    assert weighed.doubt == ""


def test_pin_far_away_says_nothing():
    assert agree([read("17")], {"17"}, [pin("18", 0.9, 0.9)]) == agree([read("17")], {"17"})


def test_two_ends_beside_it_leave_the_end_open():
    (weighed,) = agree([read("17")], {"17"}, [pin("17", end="A"), pin("17", 0.48, end="B")])

    assert weighed.end is None


def test_pin_of_another_number_is_named_and_the_reading_stays():
    (weighed,) = agree([read("17")], {"17", "18"}, [pin("18")])

    assert weighed.number == "17"
    assert weighed.doubt == "the pin here is 18"
    assert weighed.confidence < agree([read("17")], {"17", "18"})[0].confidence


def test_tape_upside_down_is_turned_to_the_number_in_use():
    """By arithmetic: 16 and 91 are each other upside down."""
    (weighed,) = agree([read("91")], {"16", "17"})

    assert (weighed.number, weighed.upside_down) == ("16", "91")
    assert "91 is not in use" in weighed.doubt


def test_both_ways_in_use_is_said():
    (weighed,) = agree([read("6")], {"6", "9"})

    assert weighed.number == "6"
    assert weighed.doubt == "or 9 upside down: both are in use"
    assert weighed.confidence == 0.8


def test_pin_tells_which_way_up():
    (weighed,) = agree([read("6")], {"6", "9"}, [pin("9")])

    assert (weighed.number, weighed.upside_down) == ("9", "6")


def test_marker_beside_its_number_is_one_reading_and_surer():
    (weighed,) = agree([read("17", 0.53), read("17", 0.5, sure=0.9, how="marker")], {"17"})

    assert (weighed.how, weighed.end) == ("marker", "A")
    assert weighed.confidence > 0.9


def test_marker_wins_over_another_number_on_its_flag_and_says_so():
    (weighed,) = agree([read("11", 0.53, sure=0.99), read("17", 0.5, sure=0.9, how="marker")], set())

    assert weighed.number == "17"
    assert weighed.doubt == "read as 11 too"


numbers = st.sampled_from(["1", "6", "9", "16", "91", "17", "88"])
places = st.floats(0, 1)
readings = st.lists(
    st.builds(read, numbers, places, places, sure=st.floats(0, 1), how=st.sampled_from(["written", "marker"])),
    max_size=6,
)
near_pins = st.lists(st.builds(pin, numbers, places, places, sure=st.floats(0, 1)), max_size=4)


@given(readings, st.sets(numbers), near_pins)
def test_every_place_keeps_a_reading_that_was_read_there(said: list[Reading], known: set[str], pins: list[NearPin]):
    weighed = agree(said, known, pins)

    places_read = {(reading.x_frac, reading.y_frac): reading for reading in said}
    assert bool(weighed) == bool(said)
    for reading in weighed:
        assert 0 <= reading.confidence <= 1
        assert (reading.x_frac, reading.y_frac) in places_read
    assert [reading.confidence for reading in weighed] == sorted((r.confidence for r in weighed), reverse=True)


@given(readings)
def test_what_nothing_is_known_about_is_not_changed_where_it_stands_alone(said: list[Reading]):
    for reading in said:
        assert agree([reading], ()) == [replace(reading)]
