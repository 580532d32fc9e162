"""What a person does in any line in which something is typed: the same keys do the same in all of them."""

from __future__ import annotations

import pytest
from rich.cells import cell_len
from textual.widgets.input import Selection

from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.entry_line import EntryLine
from asfound.tui.widgets.filter_line import FilterLine
from asfound.tui.widgets.number_box import NumberBox
from asfound.tui.widgets.rows import RowList
from tests.tui.widgets.entry_bench import NAMES, bench

LINES = [AskLine, NumberBox, FilterLine]
PREFILLED = [AskLine, FilterLine]
every_line = pytest.mark.parametrize("kind", LINES)
prefilled_line = pytest.mark.parametrize("kind", PREFILLED)


@every_line
async def test_a_paste_stands_there_whole(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.paste("112b return hose")
        assert line.field.value == "112b return hose"


@every_line
async def test_a_paste_of_several_lines_becomes_one(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.paste("112b\r\nreturn\those\n")
        assert line.field.value == "112b return hose"


@every_line
async def test_a_letter_is_put_in_before_the_cursor(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.press("1", "3", "left", "2", "right", "4")
        assert line.field.value == "1234"


@every_line
async def test_a_paste_goes_where_the_cursor_stands(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.press(*"fuel hose", "home")
        await at.paste("old ")
        assert line.field.value == "old fuel hose"


@every_line
async def test_ctrl_u_takes_away_all_before_the_cursor_and_the_line_stays(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.press(*"17 hose", "left", "left", "ctrl+u")
        assert line.field.value == "se"
        await at.press("end", "ctrl+u", "9")
        assert line.field.value == "9"
        assert line.is_open


@every_line
async def test_what_is_selected_is_typed_over(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.press(*"17 hose", *["shift+left"] * 4, *"wire")
        assert line.field.value == "17 wire"


@every_line
async def test_wide_letters_are_typed_pasted_and_taken_back_whole(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.press("燃", "料")
        await at.paste("ホース")
        await at.press("left", "backspace", "é")
        assert line.field.value == "燃料ホéス"
        drawn = line.field.render_line(0)
        assert "燃料ホéス" in drawn.text
        assert cell_len(drawn.text.rstrip()) == 9


@every_line
async def test_a_text_longer_than_the_line_is_typed_on_and_its_end_is_seen(kind: type[EntryLine]) -> None:
    async with bench(size=(60, 20)) as at:
        line = at.open(kind)
        await at.press(*"x" * 90, *"the end")
        assert line.field.value == "x" * 90 + "the end"
        assert "the end" in line.field.render_line(0).text


@prefilled_line
async def test_typing_replaces_what_stands_there(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind, "fuel")
        await at.press(*"cool")
        assert line.field.value == "cool"


@prefilled_line
async def test_a_paste_replaces_what_stands_there(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind, "fuel")
        await at.paste("coolant")
        assert line.field.value == "coolant"


@prefilled_line
@pytest.mark.parametrize(
    ("key", "left"), [("end", "fuels"), ("right", "fuels"), ("home", "sfuel"), ("left", "sfuel"), ("ctrl+a", "sfuel")]
)
async def test_a_cursor_key_keeps_what_stands_there(kind: type[EntryLine], key: str, left: str) -> None:
    async with bench() as at:
        line = at.open(kind, "fuel")
        await at.press(key, "s")
        assert line.field.value == left


@every_line
async def test_escape_closes_it_and_the_keys_go_where_they_went_before(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.press("1", "escape")
        assert not line.is_open
        assert isinstance(at.app.screen.focused, RowList)
        await at.press("down")
        assert at.app.screen.query_one(RowList).index == 1


@every_line
async def test_a_click_beside_it_does_not_take_the_keys_away(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.open(kind)
        await at.press("1")
        await at.pilot.click(RowList, offset=(4, 3))
        await at.settle()
        await at.press("2")
        assert line.field.value == "12"


@every_line
async def test_it_costs_nothing_before_it_is_opened_and_takes_keys_from_that_moment(kind: type[EntryLine]) -> None:
    async with bench() as at:
        line = at.app.screen.query_one(kind)
        assert not list(line.query("*"))
        at.open(kind)
        at.type_at_once(*"pump")
        await at.settle()
        assert line.field.value == "pump"


async def test_a_line_that_is_opened_closes_the_one_that_is_open_and_gives_the_keys_back_as_that_would() -> None:
    async with bench() as at:
        first, second = at.open(AskLine), at.open(NumberBox)
        await at.press("1", "2")
        assert (first.is_open, second.field.value) == (False, "12")
        await at.press("escape")
        assert isinstance(at.app.screen.focused, RowList)


# The number box


async def test_two_hundred_keys_at_once_all_arrive_in_the_number_box() -> None:
    digits = "1234567890" * 20
    async with bench() as at:
        at.type_at_once(*digits)
        await at.settle()
        assert at.app.screen.query_one(NumberBox).words == digits


async def test_a_number_and_enter_typed_at_once_are_all_that_is_needed_again_and_again() -> None:
    async with bench() as at:
        for _ in range(20):
            at.type_at_once("1", "7", "b", "enter", "4", "space", "2", "enter")
        await at.settle()
        assert at.app.done == ["17b", "4 2"] * 20


async def test_a_paste_between_keys_keeps_its_turn() -> None:
    async with bench() as at:
        at.type_at_once("1")
        await at.paste("12")
        at.type_at_once("b", "enter")
        await at.settle()
        assert at.app.done == ["112b"]


async def test_taking_back_the_digit_that_opened_the_box_closes_it() -> None:
    async with bench() as at:
        await at.press("1", "2", "backspace")
        box = at.app.screen.query_one(NumberBox)
        assert (box.is_open, box.words) == (True, "1")
        await at.press("home", "backspace")  # nothing stands before the cursor
        assert (box.is_open, box.words) == (True, "1")
        await at.press("end", "backspace")
        assert not box.is_open


async def test_a_box_that_was_left_opens_empty_of_what_was_typed_then() -> None:
    async with bench() as at:
        await at.press("1", "7", "escape", "4")
        box = at.app.screen.query_one(NumberBox)
        assert box.words == "4"
        assert box.field.selection == Selection(1, 1)  # the next digit goes on and does not replace


@pytest.mark.parametrize(("space_words", "done"), [("pins {}", ["17 "]), ("", [])])
async def test_space_acts_behind_a_number_where_it_has_a_use(space_words: str, done: list[str]) -> None:
    async with bench() as at:
        box = at.app.screen.query_one(NumberBox)
        box.open("1", find=lambda words: [], space_words=space_words)
        await at.press("7", "space")
        assert at.app.done == done
        assert box.is_open == (not done)


async def test_space_is_a_blank_between_words() -> None:
    async with bench() as at:
        box = at.app.screen.query_one(NumberBox)
        box.open("", find=lambda words: [], title="Pin", space_words="pins {}", pins=("enter", "space"))
        await at.press(*"fuel", "space", *"hose")
        assert box.words == "fuel hose"


# The filter


async def test_rows_are_narrowed_with_every_letter_and_shown_again_by_escape() -> None:
    async with bench() as at:
        rows = at.app.screen.query_one(RowList)
        await at.press("slash", *"fuel")
        assert [row.key for row in rows.rows] == ["fuel hose", "fuel return"]
        await at.paste(" ret")
        assert [row.key for row in rows.rows] == ["fuel return"]
        await at.press("escape")
        assert [row.key for row in rows.rows] == list(NAMES)


@pytest.mark.parametrize("key", ["enter", "down", "tab", "shift+tab"])
async def test_keys_typed_right_behind_the_one_that_leaves_the_filter_go_to_the_list(key: str) -> None:
    async with bench() as at:
        at.type_at_once("slash", *"fuel", key, "end", "4")
        await at.settle()
        assert at.app.screen.query_one(RowList).index == 1
        assert at.app.screen.query_one(NumberBox).words == "4"


async def test_enter_goes_on_with_what_is_left_and_the_words_stand_there_again() -> None:
    async with bench() as at:
        rows = at.app.screen.query_one(RowList)
        at.type_at_once("slash", *"hose", "enter", "down")
        await at.settle()
        assert [row.key for row in rows.rows] == ["fuel hose", "coolant hose"]
        assert rows.index == 1
        await at.press("slash", "end", "x")
        assert rows.narrowed_to == "hosex"


# The question


async def test_words_that_were_refused_are_put_right_and_not_typed_anew() -> None:
    async with bench() as at:
        line = at.app.screen.query_one(AskLine)
        line.ask("What happened", at.answers.append, words="17 of", refusal="Say what happened.")
        await at.press("f", "enter")
        assert at.answers == ["17 off"]


async def test_tab_goes_on_with_what_stands_there_and_typing_then_adds_to_it() -> None:
    async with bench() as at:
        line = at.app.screen.query_one(AskLine)
        line.ask("Folder", at.answers.append, words="/ca", complete=lambda words: ["/card/"])
        await at.press("tab", *"DCIM", "enter")
        assert at.answers == ["/card/DCIM"]


async def test_an_empty_answer_is_none() -> None:
    async with bench() as at:
        at.open(AskLine, "done")
        await at.press("backspace", "enter")
        assert at.answers == []
