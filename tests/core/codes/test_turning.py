"""Which way an engine turns: never without the end it is seen from."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.codes.turning import (
    STANDARDS,
    EngineEnd,
    Sense,
    Turning,
    read_turning,
    turning_gap,
    turning_note,
    turning_question,
)

turnings = st.builds(Turning, st.sampled_from(Sense), st.sampled_from(EngineEnd))
SAE, DIN = STANDARDS
CLOCKWISE_AT_BELTS = Turning(Sense.CLOCKWISE, EngineEnd.BELT)
ANTICLOCKWISE_AT_FLYWHEEL = Turning(Sense.ANTICLOCKWISE, EngineEnd.FLYWHEEL)


@given(turnings)
def test_the_other_end_sees_the_opposite(turning: Turning) -> None:
    end = turning.seen_from
    assert {turning.seen_at(end), turning.seen_at(end.other)} == set(Sense)
    assert Turning(turning.seen_at(end.other), end.other).seen_at(end) is turning.sense


@pytest.mark.parametrize(
    ("turning", "in_sae", "in_din"),
    [
        (CLOCKWISE_AT_BELTS, "standard", "right-turning"),
        (ANTICLOCKWISE_AT_FLYWHEEL, "standard", "right-turning"),
        (Turning(Sense.CLOCKWISE, EngineEnd.FLYWHEEL), "opposite", "left-turning"),
    ],
)
def test_the_standards_call_one_engine_by_their_own_words(turning: Turning, in_sae: str, in_din: str) -> None:
    """SAE J824: standard is anticlockwise, seen from the principal output end. DIN 73021: right-turning is clockwise,
    seen from the end opposite the output. Both by secondary texts."""
    assert (turning.called_by(SAE), turning.called_by(DIN)) == (in_sae, in_din)


@given(turnings)
def test_what_a_standard_calls_it_is_read_back(turning: Turning) -> None:
    for one in STANDARDS:
        word = f"{turning.called_by(one)} rotation" if one is SAE else turning.called_by(one)
        read = read_turning(f"{word}, {one.name}")
        assert read is not None
        assert read.seen_at(turning.seen_from) is turning.sense


@pytest.mark.parametrize(
    "words", ["clockwise seen from the belt end", "CW, looking at the pulley", "cw from the damper"]
)
def test_a_direction_with_its_end_is_read(words: str) -> None:
    """Common practice, no source: belts and damper are at the end away from the output."""
    assert read_turning(words) == CLOCKWISE_AT_BELTS
    assert turning_question(words) == ""


@pytest.mark.parametrize(
    "words",
    [
        "anticlockwise seen from the flywheel end",
        "anti clockwise at the gearbox",
        "counter-clockwise viewed from the output end",
        "left-hand seen from the flywheel",
        "seen from the clutch: ccw",
    ],
)
def test_spellings_of_anticlockwise_are_not_taken_for_clockwise(words: str) -> None:
    """Common practice, no source."""
    assert read_turning(words) == ANTICLOCKWISE_AT_FLYWHEEL


@pytest.mark.parametrize(
    ("words", "gap"),
    [
        ("clockwise", "seen from which end"),
        ("left-hand", "seen from which end"),
        ("clockwise seen from the front", "seen from which end"),
        ("the flywheel turns clockwise", "seen from which end"),
        ("clockwise, belt end", "seen from which end"),
        ("clockwise seen from the driver's seat", "seen from which end"),
        ("right-turning seen from the flywheel, DIN 73021", "seen from which end"),
        ("clockwise seen from the belt end and from the flywheel", "seen from which end"),
        ("standard", "which way, and seen from which end"),
        ("seen from the belt end", "which way, and seen from which end"),
        ("clockwise or anticlockwise seen from the belt end", "which way, and seen from which end"),
        ("clockwise looking towards the flywheel", "which way, and seen from which end"),
        ("not clockwise seen from the belt end", "which way, and seen from which end"),
        ("clockwise seen from the end opposite the flywheel", "which way, and seen from which end"),
    ],
)
def test_what_is_open_is_asked_back_in_one_line_and_never_guessed(words: str, gap: str) -> None:
    assert read_turning(words) is None
    assert turning_note(words) == ""
    assert turning_gap(words) == gap
    question = turning_question(words)
    assert words in question
    assert "SAE J824" in question
    assert "DIN 73021" in question
    assert "\n" not in question


def test_the_example_of_the_question_answers_nothing_by_itself() -> None:
    assert read_turning("clockwise seen from the ... end") is None


def test_the_front_is_the_end_that_the_person_called_front() -> None:
    words = "clockwise seen from the front"
    assert read_turning(words, "belt end, facing the bow") == CLOCKWISE_AT_BELTS
    assert read_turning(words, "flywheel end, facing the bow") == Turning(Sense.CLOCKWISE, EngineEnd.FLYWHEEL)
    assert read_turning("anticlockwise seen from the rear", "belt end") == ANTICLOCKWISE_AT_FLYWHEEL
    assert read_turning(words, "towards the bow") is None
    assert read_turning("clockwise seen from the front, the belt end", "flywheel end") is None


def test_nothing_said_is_nothing_to_ask() -> None:
    assert turning_question("") == turning_question("  ") == ""


def test_the_note_tells_the_other_end() -> None:
    note = turning_note("clockwise seen from the belt end")
    assert "Seen from the flywheel end that is anticlockwise" in note
    assert 'SAE J824 calls it "standard"' in note
