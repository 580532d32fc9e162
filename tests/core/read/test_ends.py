"""Which end a number was read on, as far as the spots tell it."""

from __future__ import annotations

from asfound.core.read.ends import ends_by_spot


def test_spot_with_one_pinned_end_shows_that_end():
    assert ends_by_spot(2, {4: ["B"]}, [4]) == {4: ("B", True)}


def test_spot_with_both_ends_pinned_cannot_tell():
    assert ends_by_spot(2, {4: ["A", "B"]}, [4]) == {}


def test_thing_with_one_end_shows_it_everywhere():
    assert ends_by_spot(1, {}, [4, 9]) == {4: ("A", True), 9: ("A", True)}


def test_letters_go_to_the_spots_in_their_order():
    assert ends_by_spot(2, {}, [9, 4, 9]) == {9: ("A", False), 4: ("B", False)}


def test_letter_left_over_goes_to_the_other_spot():
    assert ends_by_spot(2, {4: ["A"]}, [4, 9, 9]) == {4: ("A", True), 9: ("B", False)}


def test_more_places_than_letters_are_left_to_the_person():
    assert ends_by_spot(2, {}, [1, 2, 3]) == {}
    assert ends_by_spot(2, {1: ["A"]}, [1, 2, 3]) == {1: ("A", True)}
    assert ends_by_spot(2, {1: ["A"], 2: ["B"]}, [3]) == {}
