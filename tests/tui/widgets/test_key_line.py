"""Which keys the bottom line names, and which one a click presses."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.tui.widgets.key_line import ESCAPE, HELP, Hint, KeyLine
from asfound.tui.words import width_of

LONG = [Hint(letter, letter, f"{letter} does something long", letter) for letter in "abcdefgh"]
hints = st.lists(st.builds(Hint, st.just("x"), st.sampled_from("xyz"), st.sampled_from(["go", "look at it", "漢字"])))


def line(*hints: Hint) -> KeyLine:
    made = KeyLine()
    made.set_hints(hints)
    return made


def words_at(hints: KeyLine, width: int) -> list[str]:
    return [hint.words for hint in hints.fitting(width)]


def test_help_is_always_last_and_escape_before_it() -> None:
    assert line(ESCAPE, Hint("a", "a", "add")).fitting(80) == [Hint("a", "a", "add"), ESCAPE, HELP]


@pytest.mark.parametrize(("width", "many"), [(99, 6), (300, 10)])
def test_a_usual_terminal_is_told_six_keys_and_a_wide_one_more(width: int, many: int) -> None:
    short = [Hint(letter, letter, "go") for letter in "abcdefghi"]
    assert len(line(*short).fitting(width)) == many


def test_the_last_keys_are_told_in_one_word_before_the_first() -> None:
    first, *others = words_at(line(*LONG[:4]), 70)
    assert first == "a does something long"
    assert others[-2:] == ["d", "help"]


def test_where_even_single_words_have_no_room_the_last_key_goes_first() -> None:
    assert words_at(line(*LONG[:4], ESCAPE), 26) == ["a", "back", "help"]


@given(hints, st.integers(20, 200))
def test_what_is_told_has_room(some: list[Hint], width: int) -> None:
    fitting = line(*some).fitting(width)
    assert fitting[-1] is HELP or fitting[-1] == HELP.in_short
    assert sum(width_of(one.shown) + 1 + width_of(one.words) for one in fitting) + 3 * (len(fitting) - 1) + 2 <= width


def test_a_hint_in_short_is_its_short_word_or_the_first_of_its_words() -> None:
    assert Hint("a", "a", "look at it").in_short.words == "look"
    assert Hint("a", "a", "look at it", "see").in_short.words == "see"
    assert Hint("a", "a", "keep, next").in_short.words == "keep"
