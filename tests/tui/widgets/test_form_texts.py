"""Texts of a form and the words offered for them, without a screen."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.log.tag_fields import TagField
from asfound.tui.widgets.form_page import GAP, TITLE_COLUMNS, place_fields
from asfound.tui.widgets.form_texts import FormTexts

NUMBER = TagField("number", "Number", "")
KIND = TagField("kind", "Kind", "", choices=("coolant hose", "fuel line", "wire"))
NAME = TagField("name", "Name", "")
BAG = TagField("bag", "Bag", "")
FIELDS = (NUMBER, KIND, NAME, BAG)


def form_at(field: TagField, text: str = "", *used: str) -> FormTexts:
    form = FormTexts(FIELDS)
    form.used = {field.name: used}
    form.hold(FIELDS.index(field))
    form.write(text)
    return form


def test_a_form_begins_with_nothing_in_its_first_field() -> None:
    form = FormTexts(FIELDS)
    assert (form.field, form.text, form.texts, form.taken, form.rest) == (NUMBER, "", {}, "", "")


def test_after_the_last_field_comes_the_first_and_before_the_first_the_last() -> None:
    form = FormTexts(FIELDS)
    form.hold(-1)
    assert form.field is BAG
    form.hold(len(FIELDS))
    assert form.field is NUMBER


def test_an_empty_text_is_written_only_over_another() -> None:
    form = form_at(NAME)
    assert form.texts == {}
    form.write("hose")
    form.write("")
    assert form.texts == {"name": ""}


def test_words_in_use_are_offered_and_the_first_is_taken_once_something_is_typed() -> None:
    form = form_at(NAME, "", "pump inlet", "tank")
    assert (form.offered, form.taken) == (("pump inlet", "tank"), "")
    form.write("pu")
    assert (form.offered, form.taken, form.rest) == (("pump inlet",), "pump inlet", "mp inlet")


def test_a_word_is_offered_for_its_second_word_but_does_not_go_on_from_it() -> None:
    form = form_at(NAME, "inl", "pump inlet")
    assert (form.taken, form.rest) == ("pump inlet", "")


def test_capitals_that_were_typed_do_not_keep_a_word_away() -> None:
    form = form_at(NAME, "PU", "pump inlet")
    assert form.rest == "mp inlet"
    form.take()
    assert form.text == "pump inlet"


def test_a_text_that_the_next_letter_replaces_is_offered_words_as_an_empty_one() -> None:
    form = form_at(NAME, "hose", "hose clamp", "tank")
    form.is_replaced_next = True
    assert (form.offered, form.taken) == (("hose clamp", "tank"), "")


def test_the_arrows_choose_among_what_is_offered_and_stop_at_its_ends() -> None:
    form = form_at(NAME, "", "pump", "tank")
    assert [form.choose(by) or form.taken for by in (1, 1, 1, -1, -1, -1)] == ["pump", "tank", "tank", "pump", "", ""]


def test_typing_on_chooses_anew() -> None:
    form = form_at(NAME, "", "pump", "tank")
    form.choose(2)
    form.write("p")
    assert (form.chosen, form.taken) == (-1, "pump")


def test_of_a_list_only_the_last_word_is_offered_and_taken() -> None:
    form = form_at(BAG, "B4, b", "B5", "B6")
    assert (form.begun, form.offered) == ("b", ("B5", "B6"))
    form.choose(2)
    form.take()
    assert form.text == "B4, B6"


@pytest.mark.parametrize(
    ("typed", "stands"), [("fu", "fuel line"), ("Wire", "wire"), ("strap", "strap"), ("  ", "  "), ("", "")]
)
def test_the_beginning_of_a_choice_stands_for_it_and_anything_else_for_itself(typed: str, stands: str) -> None:
    form = form_at(KIND, typed)
    form.settle()
    assert form.text == stands


def test_what_was_chosen_stands_before_what_was_begun() -> None:
    form = form_at(KIND)
    form.choose(3)
    form.settle()
    assert form.text == "wire"


def test_where_any_words_can_stand_none_is_taken_that_was_not_asked_for() -> None:
    form = form_at(NAME, "pu", "pump")
    form.settle()
    assert form.text == "pu"


@given(st.integers(4, 300), st.sets(st.sampled_from([field.key for field in FIELDS])))
def test_no_two_fields_lie_over_one_another_at_any_width(width: int, wide: set[str]) -> None:
    places = place_fields(FIELDS, wide, width)
    assert [place.row for place in places] == sorted(place.row for place in places)
    for before, after in itertools.pairwise(places):
        if before.row == after.row:
            half = (width - GAP) // 2
            assert before.start + max(0, half - TITLE_COLUMNS) + GAP <= after.start
        else:
            assert after.row == before.row + 1


def test_a_field_of_a_row_of_its_own_has_all_of_it() -> None:
    alone, left, right, last = place_fields(FIELDS, {"number"}, 80)
    assert (alone.row, alone.start, alone.width) == (0, 14, 66)
    assert (left.row, left.start, left.width) == (1, 14, 25)
    assert (right.row, right.start, right.width) == (1, 55, 25)
    assert (last.row, last.start) == (2, 14)


def test_a_field_holds_the_cells_of_its_title_and_text_and_no_others() -> None:
    _, left, right, _ = place_fields(FIELDS, {"number"}, 80)
    assert [left.holds(x, 1) for x in (0, 38, 39, 40)] == [True, True, False, False]
    assert [right.holds(x, 1) for x in (40, 41, 79)] == [False, True, True]
    assert not left.holds(0, 0)
