"""Columns of a list: how wide each is, and which rows are left when words narrow it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.app import App, ComposeResult

from asfound.tui.widgets.row_columns import GAP, Column, Row, lay_out, longest_texts, share_widths
from asfound.tui.widgets.rows import MARK, RowList
from asfound.tui.words import width_of

COLUMNS = (Column("Tag", 6, is_fixed=True), Column("Name", 8, share=2), Column("Place", 8, share=1, from_width=60))
TEXTS = st.sampled_from(["", "hose", "fuel return hose", "燃料ホース", "x" * 60])


class ListApp(App[None]):
    def __init__(self, *rows: Row) -> None:
        super().__init__()
        self.first = rows
        self.told: list[object] = []

    def compose(self) -> ComposeResult:
        yield RowList(COLUMNS, empty="No tags yet.\nw writes one.")

    def on_mount(self) -> None:
        self.rows.set_rows(self.first)
        self.rows.focus()

    @property
    def rows(self) -> RowList:
        return self.query_one(RowList)

    def on_row_list_moved(self, event: RowList.Moved) -> None:
        self.told.append(event.row.key if event.row else None)


def rows_of(*names: str) -> list[Row]:
    return [Row(name, (str(place), name, "block")) for place, name in enumerate(names)]


@pytest.mark.parametrize(
    ("words", "holds"), [("", True), ("fuel", True), ("HOSE fu", True), ("fuel wire", False), ("1", True)]
)
def test_a_row_holds_words_when_each_stands_in_it_somewhere(words: str, holds: bool) -> None:
    assert Row(1, ("17", "Fuel hose")).holds(words) is holds


@given(st.lists(st.tuples(TEXTS, TEXTS, TEXTS), min_size=1), st.integers(12, 200))
def test_columns_have_room_for_one_another_at_any_width(cells: list[tuple[str, str, str]], room: int) -> None:
    longest = longest_texts(COLUMNS, [Row(place, one) for place, one in enumerate(cells)])
    widths = share_widths(COLUMNS, longest, room, room)
    shown = [wide for wide in widths if wide]
    assert sum(shown) + GAP * (len(shown) - 1) <= room
    assert widths[0] <= COLUMNS[0].least
    for place in (1, 2):
        assert widths[place] <= max(longest[place], width_of(COLUMNS[place].title))
    assert width_of(lay_out(cells[0], widths, room)) == room


@given(st.integers(0, 60), st.integers(0, 60), st.integers(70, 300))
def test_no_text_is_cut_while_there_is_room_left(name: int, place: int, room: int) -> None:
    widths = share_widths(COLUMNS, [6, name, place], room, room)
    left = room - sum(widths) - GAP * (sum(map(bool, widths)) - 1)
    assert left <= 0 or (widths[1] >= name and widths[2] >= place)


def test_what_one_column_does_not_need_another_has() -> None:
    assert share_widths(COLUMNS, [6, 4, 90], 80, 80) == [6, 4, 66]
    assert share_widths(COLUMNS, [6, 90, 90], 80, 80) == [6, 44, 26]  # after eight each, two parts and one


def test_a_column_that_wants_a_wide_list_or_holds_nothing_is_left_out() -> None:
    assert share_widths(COLUMNS, [6, 4, 5], 59, 59) == [6, 4, 0]
    assert share_widths(COLUMNS, [6, 4, 5], 60, 60) == [6, 4, 5]
    assert share_widths(COLUMNS, [6, 0, 0], 80, 80) == [6, 0, 0]


async def test_the_chosen_row_stays_chosen_when_others_come_and_go() -> None:
    app = ListApp(*rows_of("hose", "wire", "cable"))
    async with app.run_test() as pilot:
        await pilot.press("down")
        app.rows.set_rows(rows_of("new", "hose", "wire"))
        assert app.rows.chosen is not None
        assert app.rows.chosen.key == "wire"
        app.rows.set_rows(rows_of("new"))
        assert app.rows.chosen.key == "new"
        app.rows.set_rows([])
        assert app.rows.chosen is None


async def test_rows_are_gone_through_by_keys_and_each_move_is_told_once() -> None:
    app = ListApp(*rows_of("hose", "wire", "cable"))
    async with app.run_test() as pilot:
        await pilot.pause()
        app.told.clear()
        await pilot.press("j", "down", "down", "k", "home", "end")
        assert app.told == ["wire", "cable", "wire", "hose", "cable"]


async def test_a_list_that_words_narrow_says_when_none_is_left() -> None:
    app = ListApp(*rows_of("hose", "wire"))
    async with app.run_test(size=(60, 10)):
        app.rows.narrow("pump")
        assert (app.rows.hidden, app.rows.chosen) == (2, None)
        assert 'Nothing here matches "pump".' in app.rows.render_line(1).text
        app.rows.narrow("")
        assert [row.key for row in app.rows.rows] == ["hose", "wire"]


async def test_an_empty_list_says_what_to_do() -> None:
    app = ListApp()
    async with app.run_test(size=(60, 10)):
        assert [app.rows.render_line(y).text.strip() for y in (0, 1, 2, 3)] == ["", "No tags yet.", "w writes one.", ""]
        assert not app.rows.choose_key("hose")


async def test_only_the_chosen_row_is_marked() -> None:
    app = ListApp(*rows_of("hose", "wire"))
    async with app.run_test(size=(60, 10)) as pilot:
        assert app.rows.choose_key("wire")
        await pilot.pause()
        assert [app.rows.render_line(y).text[:2] for y in (0, 1, 2, 3)] == ["  ", "  ", MARK, "  "]
