"""Marks on terminals: explained, never corrected."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.codes.terminals import (
    DIFFERENT_ENDS,
    DIN_72552,
    FROM_MEMORY,
    PLUS_TO_EARTH,
    compare_ends,
    explain_terminal,
)


@pytest.mark.parametrize(
    ("mark", "words"),
    [
        ("30", "battery plus"),
        ("31", "earth"),
        ("50", "starter control"),
        ("D+", "dynamo plus"),
        ("W", "tachometer tap"),
        ("Kl. 15", "key switch"),
        ("kl30", "battery plus"),
        ("terminal 50", "starter control"),
        ("d +", "dynamo plus"),
        ("B−", "battery minus"),
        ("15A", "ballast resistor"),
        ("51", "old mark for B+"),
        ("16", "old mark for 15 (plus after the key switch) and for 15a"),
        ("15/54", "old mark for 15"),
        ("54/15", "old mark for 15"),
        ("30/51", "old mark for 30, battery plus"),
    ],
)
def test_known_marks_are_explained_and_kept_as_written(mark: str, words: str) -> None:
    """DIN 72552 by secondary texts; B-, 15a and the old marks 51, 16, 15/54 and 30/51 from memory."""
    reading = explain_terminal(mark)

    assert reading.mark == mark
    assert words in reading.meaning


def test_unknown_mark_is_kept_as_text() -> None:
    """G, as often met on gauge senders, is in no part of DIN 72552 (by secondary texts)."""
    reading = explain_terminal(" G ")

    assert (reading.mark, reading.meaning, reading.is_known) == ("G", "", False)
    assert "Not in DIN 72552" in reading.notes[0]


@pytest.mark.parametrize(("mark", "place"), [("30", "horn relay"), ("87", ""), ("87a", ""), ("87b", "Relay box")])
def test_relay_trap_is_told_at_every_mark_of_a_relay(mark: str, place: str) -> None:
    """DIN 72552 has 87 as the common contact (by secondary texts); 30 on relays in the field is common practice."""
    notes = " ".join(explain_terminal(mark, place).notes)

    assert "87a opens" in notes
    assert "trust the drawing on the relay" in notes


@pytest.mark.parametrize("mark", ["30", "1", "4", "30/51"])
def test_marks_that_are_on_no_relay_say_nothing_of_relays(mark: str) -> None:
    assert "relay" not in " ".join(explain_terminal(mark, "starter").notes)


@pytest.mark.parametrize("mark", ["L", "R"])
def test_left_and_right_have_a_second_meaning(mark: str) -> None:
    """L and R as turn lamps: DIN 72552 by secondary texts; on an alternator or starter: from memory."""
    assert "two meanings" in explain_terminal(mark).notes[0]
    assert "alternator" in explain_terminal(mark).notes[0]


def test_meanings_from_memory_say_so() -> None:
    assert FROM_MEMORY in explain_terminal("15a").notes
    assert FROM_MEMORY not in explain_terminal("30").notes
    assert "from memory" in explain_terminal("4", "relay").notes[0]


def test_several_marks_on_one_terminal_are_explained_one_by_one() -> None:
    """Two marks with a stroke between: common practice, no source."""
    assert explain_terminal("30/87").meaning.startswith("30: battery plus")
    assert not explain_terminal("30/zz").is_known
    assert not explain_terminal("/").is_known


def test_different_marks_at_two_ends_send_the_reader_to_the_diagram() -> None:
    assert compare_ends("50", "87") == f"50 at end A and 87 at end B. {DIFFERENT_ENDS}"
    assert compare_ends("31", "B-").endswith(DIFFERENT_ENDS)
    assert compare_ends("d+", "D+") == compare_ends("", "30") == compare_ends("G", "g") == ""


@pytest.mark.parametrize(
    ("mark_a", "mark_b"),
    [("B+", "31"), ("31", "30"), ("Kl. 15", "B−"), ("30/51", "31"), ("58", "earth"), ("+", "-"), ("30", "30/31")],
)
def test_plus_to_earth_is_asked_about(mark_a: str, mark_b: str) -> None:
    """Which marks are plus and which earth: DIN 72552 by secondary texts; words and signs from memory."""
    words = compare_ends(mark_a, mark_b)

    assert words.endswith(PLUS_TO_EARTH)
    assert "by design" not in words


@given(st.sampled_from(list(DIN_72552)), st.sampled_from(list(DIN_72552)))
def test_no_pair_of_marks_is_called_right(mark_a: str, mark_b: str) -> None:
    words = compare_ends(mark_a, mark_b)

    assert ("wiring diagram" in words) is (mark_a != mark_b)


@given(st.sampled_from(list(DIN_72552)) | st.text())
def test_any_text_is_kept(mark: str) -> None:
    reading = explain_terminal(mark)

    assert reading.mark == mark.strip()
    assert reading.is_known >= (mark in DIN_72552)
