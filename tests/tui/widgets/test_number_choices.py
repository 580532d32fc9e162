"""What a typed number could mean: which rows stand there, in which order, and which one a key acts on."""

from __future__ import annotations

from datetime import datetime
from types import SimpleNamespace
from typing import Any

import pytest

from asfound.tui.widgets.number_choices import MOST_SHOWN, NumberChoices, entry_words, exact_words, names_of
from asfound.tui.words import width_of

PINNING = ("enter", "space")


def end_of(number: str, end: str = "A", *, ends: int = 2, order: int = 1, pins: int = 0, **more: Any) -> Any:
    """A tag end as a search answers it."""
    return SimpleNamespace(
        tag=SimpleNamespace(number=number, order=order, ends=ends, name=more.get("name", ""), kind="hose"),
        end=SimpleNamespace(end=end, place=more.get("place", "")),
        as_found="a pin" if pins else None,
        as_found_at=datetime(2025, 10, 18, 9, 42) if pins else None,
        pins=("a pin",) * pins,
        spot_name=more.get("spot", ""),
        state=more.get("state", ""),
        guess=more.get("guess"),
    )


def finder(*entries: Any) -> Any:
    """Finds what begins with the number typed, as the archive does."""

    def find(words: str) -> list[Any]:
        number = words.strip().rstrip("abAB")
        return [one for one in entries if any(name.startswith(number) for name in names_of(one))]

    return find


HOSES = finder(end_of("12"), end_of("12", "B"), end_of("112", "A", pins=1), end_of("121"), end_of("121", "B"))


def words(choices: NumberChoices) -> list[str]:
    return [row.words for row in choices.rows]


def test_nothing_is_looked_up_before_anything_is_typed() -> None:
    def never(typed: str) -> list[Any]:
        raise AssertionError(typed)

    for typed in ("", "  "):
        choices = NumberChoices(typed, never, PINNING)
        assert (choices.rows, choices.meant("enter"), choices.hidden) == ([], None, 0)


def test_what_is_found_stands_there_in_its_order_and_the_first_is_shown() -> None:
    choices = NumberChoices("12", HOSES)
    assert words(choices) == ["12a", "12b", "121a", "121b"]
    assert choices.meant("enter") is choices.rows[0]
    assert not choices.is_exact("enter")


def test_a_row_marked_by_hand_is_what_every_key_acts_on() -> None:
    choices = NumberChoices("12", HOSES)
    choices.mark(2)
    assert choices.meant("enter") is choices.rows[2]
    assert choices.is_exact("enter")


def test_the_mark_goes_round_the_rows_that_are_shown() -> None:
    many = finder(*[end_of(f"1{number}") for number in range(9)])
    choices = NumberChoices("1", many)
    assert (len(choices.shown), choices.hidden) == (MOST_SHOWN, 4)
    choices.mark(-1)
    assert choices.index == MOST_SHOWN - 1
    choices.mark(choices.index + 1)
    assert choices.index == 0


def test_an_empty_list_has_nothing_to_mark() -> None:
    choices = NumberChoices("9", HOSES)
    choices.mark(1)
    assert (choices.index, choices.meant("enter")) == (0, None)


def test_for_a_pin_the_ends_of_exactly_this_number_come_first() -> None:
    find = finder(end_of("121", pins=1), end_of("12", "B"), end_of("12", "A"))
    assert words(NumberChoices("12", find)) == ["121a", "12b", "12a"]
    assert words(NumberChoices("12", find, PINNING)) == ["12a", "12b", "121a"]


@pytest.mark.parametrize(("pins_a", "pins_b", "marked"), [(0, 0, "12a"), (1, 0, "12b"), (0, 1, "12a"), (1, 1, "12a")])
def test_for_a_pin_the_first_end_that_no_picture_shows_is_marked(pins_a: int, pins_b: int, marked: str) -> None:
    choices = NumberChoices("12", finder(end_of("12", pins=pins_a), end_of("12", "B", pins=pins_b)), PINNING)
    choice = choices.meant("space")
    assert choice is not None
    assert choice.words == marked


def test_what_enter_shows_is_the_best_even_where_space_pins_another() -> None:
    choices = NumberChoices("12", finder(end_of("12", pins=1), end_of("12", "B")), ("space",))
    shown, pinned = choices.meant("enter"), choices.meant("space")
    assert shown is not None
    assert pinned is not None
    assert (shown.words, pinned.words) == ("12a", "12b")


def test_a_number_that_nothing_has_is_offered_as_a_new_one_only_where_it_would_be_made() -> None:
    assert words(NumberChoices("77", HOSES)) == []
    choices = NumberChoices("77", HOSES, PINNING)
    assert words(choices) == ["77a", "77b"]
    assert choices.rows[1].line(40) == f"{'77 B':7}  a new number, end B{' ' * 12}"
    assert choices.rows[1].entry is None
    assert words(NumberChoices("77b", HOSES, PINNING)) == ["77b"]


def test_a_number_that_others_begin_with_is_new_before_them() -> None:
    assert words(NumberChoices("11", HOSES, PINNING)) == ["11a", "11b", "112a"]


def test_words_of_a_name_are_no_new_number() -> None:
    assert words(NumberChoices("pump", lambda typed: [], PINNING)) == []


def test_an_end_that_a_thing_has_not_is_not_made_of_its_number() -> None:
    """12 is there, with one end: `12b` means nothing new."""
    find = finder(end_of("12", ends=1))
    assert words(NumberChoices("12b", find, PINNING)) == ["12"]


def test_two_things_with_one_number_are_told_apart_by_what_is_typed() -> None:
    second = end_of("12", "B", order=2)
    assert exact_words(second) == "12.2b"
    assert names_of(second) == ("12", "12.2")
    assert words(NumberChoices("12.2", finder(end_of("12"), second), PINNING)) == ["12.2b"]


@pytest.mark.parametrize("width", [40, 60, 78])
def test_a_row_has_exactly_its_width_with_number_first_and_picture_last(width: int) -> None:
    entry = end_of("112", "B", pins=1, name="燃料ホース return", place="filter head", state="off")
    line = entry_words(entry, width)
    assert width_of(line) == width
    assert line.startswith("112 B ")
    assert line.endswith("18 Oct 09:42")


def test_a_row_says_the_spot_where_no_place_is_known_and_that_no_picture_shows_it() -> None:
    assert entry_words(end_of("5", ends=1, spot="Fuel rail"), 60).split("  ")[0] == "5"
    assert "hose, Fuel rail" in entry_words(end_of("5", spot="Fuel rail"), 60)
    assert entry_words(end_of("5"), 60).endswith("no picture")


def test_a_picture_that_is_a_guess_says_so() -> None:
    assert entry_words(end_of("5", pins=1, guess=0.62), 78).endswith(", a guess, 62%")
    assert "guess" not in entry_words(end_of("5", pins=1), 78)
