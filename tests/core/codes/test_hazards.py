"""Words for hazards: what people write finds its cautions, and what is not known is asked back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.codes.caution_table import CAUTIONS
from asfound.core.codes.cautions import cautions_for
from asfound.core.codes.hazards import HAZARDS, read_hazards


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("petrol", "fuel pressure"),
        ("Gasoline", "bilge blower"),
        ("HV", "traction battery"),
        ("orange cables", "traction battery"),
        ("air bag", "airbag"),
        ("SRS", "airbag"),
        ("a/c", "air-conditioning"),
        ("A/C line", "air-conditioning"),
        ("hydraulic", "hydraulics"),
        ("hot coolant", "hot coolant"),
        ("antifreeze", "poisonous coolant"),
        ("brake fluid", "brakes"),
        ("power steering", "pressure"),
        ("diesel", "runaway diesel"),
        ("shore power", "charger"),
        ("old gaskets", "asbestos"),
        ("wet exhaust", "wet exhaust"),
        ("tractor split", "split tractor"),
        ("PTO", "extinguisher"),
    ],
)
def test_words_of_the_trade_find_their_caution(typed: str, key: str) -> None:
    """The words are common practice, no source."""
    assert key in [caution.key for caution in cautions_for([typed])]
    assert read_hazards(typed).question == ""


@pytest.mark.parametrize("typed", ["pressure", "power steering, pressure", "power steering pressure"])
def test_pressure_alone_speaks_of_no_fuel_and_no_coolant(typed: str) -> None:
    assert [caution.key for caution in cautions_for([typed])] == ["pressure"]


def test_longer_phrases_go_before_their_words() -> None:
    assert read_hazards("hot coolant").hazards == {"coolant"}
    assert read_hazards("traction battery").hazards == {"high voltage"}
    assert read_hazards("petrol; hot").hazards == {"fuel", "petrol", "hot"}


@pytest.mark.parametrize(
    ("typed", "near"), [("petorl", "petrol"), ("hydralic", "hydraulic"), ("refridgerant", "refriger")]
)
def test_unknown_hazard_is_asked_back_with_the_nearest(typed: str, near: str) -> None:
    reading = read_hazards(f"battery; {typed}")

    assert (reading.hazards, reading.unknown) == ({"battery"}, (typed,))
    assert f'"{typed}": is it {near}' in reading.question
    assert reading.question.endswith("No caution does not mean no danger.")


def test_unknown_hazard_without_a_near_word_is_asked_for_in_other_words() -> None:
    assert "say it in another word" in read_hazards("zzz").question
    assert read_hazards("").question == read_hazards(" ; , ").question == ""


def test_every_word_calls_for_a_caution_and_every_hazard_of_a_caution_has_a_word() -> None:
    named = {hazard for _phrase, hazards in HAZARDS.values() for hazard in hazards}

    assert named == {hazard for caution in CAUTIONS for hazard in caution.hazards}
    assert all(read_hazards(phrase).hazards == {*hazards} for phrase, hazards in HAZARDS.values())


@given(st.text() | st.text("acdhotv/; "))
def test_any_text_is_read_without_an_error(typed: str) -> None:
    reading = read_hazards(typed)

    assert len(reading.unknown) == len(reading.nearest)
    assert bool(reading.question) is bool(reading.unknown)
