"""Words as they are kept and as they are asked for must meet."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.find.query import number_candidates, parse_query
from asfound.core.find.texts import (
    asked_words,
    likeliest,
    words_of,
    words_of_colour,
    words_of_number,
    words_of_terminal,
)
from asfound.core.words import SAME_THING


@pytest.mark.parametrize(("one", "other"), [(group[0], other) for group in SAME_THING for other in group[1:]])
def test_trade_pairs_meet_both_ways(one: str, other: str) -> None:
    """Common practice, no source."""
    assert set(asked_words(one)) <= set(words_of(other).split())
    assert set(asked_words(other)) <= set(words_of(one).split())


@pytest.mark.parametrize("typed", ["RD", "red", "BK", "black stripe", "RD/BK", "BKRD"])
def test_colour_is_met_by_codes_and_words(typed: str) -> None:
    """IEC 60757:2021: RD with BK is BKRD in table order."""
    assert set(asked_words(typed)) <= set(words_of_colour("RD/BK").split())


@pytest.mark.parametrize(("mark", "typed"), [("D+", "d+"), ("B-", "terminal B-"), ("87a", "terminal 87A")])
def test_terminal_is_met_with_its_sign(mark: str, typed: str) -> None:
    """Marks of DIN 72552 (by secondary texts)."""
    assert set(asked_words(typed)) <= set(words_of_terminal(mark).split())


def test_sign_tells_marks_apart() -> None:
    """DIN 72552 (by secondary texts): B+ and B- are two ends of a generator."""
    assert not set(asked_words("D-")) & set(words_of_terminal("D+").split())


def test_number_is_met_without_its_zeros() -> None:
    assert set(words_of_number("7").split()) & set(words_of_number("007").split())


def test_nothing_like_enough_is_nothing() -> None:
    assert likeliest("alternater", ["starter", "alternator"]) == "alternator"
    assert likeliest("zzzz", ["hose", "pump"]) is None
    assert likeliest("hose", []) is None


@given(st.text(max_size=40))
def test_any_text_can_be_kept_and_asked(text: str) -> None:
    assert all(" " not in word for word in asked_words(text))
    assert isinstance(words_of(text), str)


@given(
    st.sets(st.from_regex(r"[1-9][0-9]?[a-cx]?(\.[1-3])?", fullmatch=True), min_size=1, max_size=6),
    st.sampled_from(["{}", "{}b", "{} end a", "tag {}", "{} red wire", "hose {}b", "{}.2", "#{}", "{}-A", "{}X"]),
    st.data(),
)
def test_candidates_hold_every_number_that_could_be_meant(known: set[str], form: str, data: st.DataObject) -> None:
    typed = form.format(data.draw(st.sampled_from(sorted(known))))
    among = {number for number in known if number.casefold() in {one.casefold() for one in number_candidates(typed)}}

    assert parse_query(typed, among) == parse_query(typed, known)
