"""Numbers as typed and as written on tape."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.pins.numbering import (
    TypedNumber,
    confusable_numbers,
    missing_in_run,
    parse_tag_words,
    sort_key,
    spread_numbers,
    upside_down,
)
from asfound.errors import Misused
from tests.strategies import any_numbers


@pytest.mark.parametrize(
    ("typed", "known", "meant"),
    [
        ("17", {"17"}, TypedNumber("17")),
        ("17b", {"17"}, TypedNumber("17", "B")),
        ("17B", {"17"}, TypedNumber("17", "B")),
        (" 17 a ", {"17"}, TypedNumber("17", "A")),
        ("17 end b", {"17"}, TypedNumber("17", "B")),
        ("17-b", {"17"}, TypedNumber("17", "B")),
        ("17b", {"17", "17b"}, TypedNumber("17b")),
        ("17bb", {"17", "17b"}, TypedNumber("17b", "B")),
        ("17 B", {"17", "17b"}, TypedNumber("17", "B")),
        ("12.2", {"12"}, TypedNumber("12", None, 2)),
        ("12.2", {"12", "12.2"}, TypedNumber("12.2")),
        ("12.2b", {"12"}, TypedNumber("12", "B", 2)),
        ("12.2b", {"12", "12.2"}, TypedNumber("12.2", "B")),
        ("007", {"007", "7"}, TypedNumber("007")),
        ("12X", {"12x"}, TypedNumber("12x")),
        ("12x", {"12"}, TypedNumber("12x")),
        ("47b", set(), TypedNumber("47", "B")),
        ("47", set(), TypedNumber("47")),
        ("grab", set(), TypedNumber("grab")),
        ("b", set(), TypedNumber("b")),
        ("12.0", {"12"}, TypedNumber("12.0")),
        ("12.2", set(), TypedNumber("12.2")),
    ],
)
def test_typed_words_mean_the_known_number_first(typed: str, known: set[str], meant: TypedNumber) -> None:
    assert parse_tag_words(typed, known) == meant


@pytest.mark.parametrize("typed", ["", "   "])
def test_nothing_typed_is_refused_with_advice(typed: str) -> None:
    with pytest.raises(Misused, match="type the number"):
        parse_tag_words(typed, set())


@given(st.sets(any_numbers, min_size=1, max_size=6))
def test_a_number_in_use_always_means_itself(known: set[str]) -> None:
    assert all(parse_tag_words(number, known) == TypedNumber(number) for number in known)


@given(any_numbers, st.sets(any_numbers, max_size=4))
def test_any_text_can_be_read(typed: str, known: set[str]) -> None:
    assert parse_tag_words(typed, known).number


def test_order_is_natural() -> None:
    written = ["10", "2", "12x", "12", "007", "W2", "W10", "7", "12.2"]

    assert sorted(written, key=sort_key) == ["2", "007", "7", "10", "12", "12.2", "12x", "W2", "W10"]


@given(st.lists(any_numbers | st.just("9" * 5000), max_size=8))
def test_order_is_total_and_independent_of_the_start(written: list[str]) -> None:
    assert sorted(written, key=sort_key) == sorted(reversed(written), key=sort_key)


@pytest.mark.parametrize(
    ("number", "turned"),
    # Check value 39: arithmetic, plain face with open 6 and 9.
    [("91", "16"), ("88", "88"), ("8", "8"), ("17", None), ("6", "9"), ("19", "61"), ("18", "81"), ("12x", None)],
)
def test_numbers_read_upside_down(number: str, turned: str | None) -> None:
    assert upside_down(number) == turned


@given(st.text("01689", min_size=1))
def test_turning_twice_gives_the_number_back(number: str) -> None:
    assert upside_down(upside_down(number) or "") == number


def test_only_numbers_in_use_are_confusable() -> None:
    """By hand: 6 and 9, 16 and 91, 86 and 98 change places upside down; 8 and 88 stay."""
    assert confusable_numbers(["6", "9", "16", "18", "19", "8", "88"]) == [("6", "9")]
    assert confusable_numbers(["91", "16", "98", "86", "9"]) == [("16", "91"), ("86", "98")]


@pytest.mark.parametrize(
    ("used", "missing"),
    [
        (["1", "2", "4"], ["3"]),
        (["12", "12", "13x", "15"], ["14"]),
        (["001", "003"], ["002"]),
        (["W1", "W3", "1", "2"], ["W2"]),
        (["1", "2", "101", "103"], ["102"]),
        (["5"], []),
        ([], []),
        (["lamp"], []),
        (["9" * 30, "1"], []),
    ],
)
def test_holes_in_each_run_are_found(used: list[str], missing: list[str]) -> None:
    assert missing_in_run(used) == missing


@pytest.mark.parametrize(
    ("typed", "numbers"),
    [
        (["17-19"], ["17", "18", "19"]),
        (["17,18"], ["17", "18"]),
        (["17", "18b"], ["17", "18b"]),
        (["4-6", "12-1"], ["4", "5", "6", "12-1"]),
        (["1..3"], ["1", "2", "3"]),
    ],
)
def test_numbers_typed_together_are_spread(typed: list[str], numbers: list[str]) -> None:
    assert spread_numbers(typed, {"12-1"}) == numbers


@pytest.mark.parametrize("typed", ["19-17", "17-17", "1-900"])
def test_a_range_that_is_none_is_refused(typed: str) -> None:
    with pytest.raises(Misused, match="no range"):
        spread_numbers([typed], set())
