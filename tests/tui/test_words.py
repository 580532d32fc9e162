"""Text in cells: wide letters take two, and nothing behind them is moved."""

from __future__ import annotations

import calendar
from datetime import datetime
from unicodedata import combining, east_asian_width

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.style import Style
from textual.keys import key_to_character

from asfound.actions.archive import Archive
from asfound.actions.tag import TagWords, change_tag
from asfound.core.log.tag_fields import TAG_FIELDS
from asfound.output.cells.blocks import Cells
from asfound.output.cells.wide import TAIL
from asfound.tui.widgets.form_page import TITLE_COLUMNS, FormPage, place_fields
from asfound.tui.widgets.form_texts import FormTexts
from asfound.tui.widgets.key_line import Hint, KeyLine
from asfound.tui.widgets.rows import RowList
from asfound.tui.words import (
    KEY_SIGNS,
    count,
    cut_words,
    day_words,
    fit_words,
    key_sign,
    moment_with_year,
    moment_words,
    shorten_words,
    split_number,
    width_of,
    wrap_words,
)
from tests.small_changes import tag_of
from tests.tui.screens_of import press, running

SIGNS = "ab é漢字ポンプ🔧…▸█→\u0301"
mixed = st.text(alphabet=SIGNS)


def cells(text: str) -> int:
    """Cells by the Unicode standard: annex 11, Wide and Fullwidth take two; a combining sign takes none."""
    return sum(0 if combining(sign) else 2 if east_asian_width(sign) in "WF" else 1 for sign in text)


@settings(deadline=None)
@given(mixed)
def test_a_width_is_what_the_unicode_standard_says(text: str) -> None:
    assert width_of("a" + text) == cells("a" + text)


@settings(deadline=None)
@given(mixed, st.integers(0, 20))
def test_fitted_text_has_just_its_cells_and_begins_as_the_whole_does(text: str, width: int) -> None:
    fitted = fit_words("a" + text, width)
    assert cells(fitted) == width
    if cells("a" + text) > width > 0:
        assert fitted.rstrip().endswith("…")
    assert ("a" + text).startswith(cut_words("a" + text, width))


@settings(deadline=None)
@given(mixed, st.integers(4, 20))
def test_lines_are_no_wider_than_they_may_be_and_lose_no_word(text: str, width: int) -> None:
    lines = wrap_words("a" + text, width, indent="  ")
    assert all(cells(line) <= width for line in lines)
    assert "".join("".join(lines).split()) == "".join(("a" + text).split())


@pytest.mark.parametrize(
    ("text", "width", "cut"),
    [
        ("fuel return hose", 16, "fuel return hose"),
        ("fuel return hose", 14, "fuel return …"),
        ("fuel return hose", 13, "fuel return …"),
        ("燃料戻りホースの長い名前", 11, "燃料戻り …"),
        ("port\nside\x1b[2J", 20, "port side [2J"),
    ],
)
def test_a_line_is_cut_behind_a_word_where_there_is_one(text: str, width: int, cut: str) -> None:
    assert shorten_words(text, width) == cut


async def test_columns_stand_below_each_other_behind_wide_letters(archive: Archive) -> None:
    change_tag(archive, tag_of(archive, "112"), TagWords(name="燃料戻りホース"))
    async with running(archive, (80, 24)) as (app, pilot):
        await press((app, pilot), "t")
        rows = app.screen.query_one(RowList)
        lines = [rows.line(row.cells, 78) for row in rows.rows]
        assert len({cells(line[: line.index("in place")]) for line in lines}) == 1
        assert {cells(line) for line in lines} == {76}


async def test_no_column_is_wider_than_its_text_and_an_empty_one_has_no_room(archive: Archive) -> None:
    async with running(archive, (200, 60)) as (app, pilot):
        await press((app, pilot), "t")
        rows = app.screen.query_one(RowList)
        for place, (column, width) in enumerate(zip(rows.columns, rows.widths(200), strict=True)):
            longest = max(len(row.cells[place]) for row in rows.rows)
            assert width == (max(longest, len(column.title)) if longest else 0)
        narrow = rows.widths(40)
        assert sum(narrow) + 2 * (sum(map(bool, narrow)) - 1) == 38  # what one does not need, another has


def test_a_row_of_a_form_keeps_its_width_with_wide_letters() -> None:
    form = FormTexts(TAG_FIELDS)
    form.texts = {"number": "燃料ホースの名前 左側 b", "kind": "燃料ホース"}
    page = FormPage(form, wide=frozenset({"number"}))
    for index, place in enumerate(place_fields(TAG_FIELDS, page.wide, 45)):
        assert sum(cells(segment.text) for segment in page._drawn(index, place, Style())) == TITLE_COLUMNS + place.width


def test_a_key_is_clicked_where_it_is_seen() -> None:
    line = KeyLine()
    line.set_hints([Hint("a", "a", "漢字")])
    assert line._width(line.fitting(40)) == 2 + 6 + 3 + len("? help")


@settings(deadline=None)
@given(mixed.filter(lambda text: text.isprintable()), st.integers(-4, 12), mixed, st.integers(0, 12))
def test_letters_laid_over_a_picture_leave_every_row_its_width(first: str, at: int, second: str, then: int) -> None:
    grid = Cells.blank(12, 1, (0, 0, 0))
    grid.write(at, 0, first, (255, 255, 255))
    grid.write(then, 0, second, (255, 255, 255))
    row = grid.text(0)
    assert len(row) == 12
    assert cells(row.replace(TAIL, "")) == 12


def test_the_name_of_a_spot_in_wide_letters_stands_whole_on_the_overview() -> None:
    grid = Cells.blank(12, 1, (0, 0, 0))
    grid.write(2, 0, "燃料", (255, 255, 255))
    assert grid.text(0).replace(TAIL, "") == "  燃料      "
    grid.write(3, 0, "x", (255, 255, 255))
    assert grid.text(0).replace(TAIL, "") == "   x料      "


@pytest.mark.parametrize(
    ("typed", "number", "end"),
    [
        ("112", "112", None),
        ("112b", "112", "B"),
        (" 112 A ", "112", "A"),
        ("12.2a", "12.2", "A"),
        ("W12B", "W12", "B"),
        ("112c", "112c", None),
        ("b", "b", None),
        ("", "", None),
        ("cab", "cab", None),  # a letter is an end only behind a digit
    ],
)
def test_a_typed_number_is_told_from_the_letter_of_its_end(typed: str, number: str, end: str | None) -> None:
    assert split_number(typed) == (number, end)


@pytest.mark.parametrize(
    ("names", "shown"),
    [
        ("left_square_bracket", "["),
        ("x,r", "x or r"),
        ("up,down", "↑ or ↓"),
        ("ctrl+t", "ctrl+t"),
        ("question_mark", "?"),
    ],
)
def test_a_key_is_written_as_it_stands_on_the_keyboard(names: str, shown: str) -> None:
    assert key_sign(names) == shown


@pytest.mark.parametrize("name", KEY_SIGNS)
def test_every_key_that_is_written_otherwise_is_one_the_toolkit_knows(name: str) -> None:
    """Textual's own table says which sign a key of this name types; arrows type none."""
    typed = key_to_character(name)
    assert typed is None or typed == KEY_SIGNS[name]


@pytest.mark.parametrize(
    ("number", "words"), [(0, "no pictures"), (1, "1 picture"), (2, "2 pictures"), (1000, "1000 pictures")]
)
def test_things_are_counted_in_words(number: int, words: str) -> None:
    assert count(number, "picture") == words


def test_a_plural_of_its_own_is_used_where_there_is_one() -> None:
    assert [count(number, "copy", "copies") for number in (0, 1, 2)] == ["no copies", "1 copy", "2 copies"]


def test_times_are_said_with_and_without_the_year_and_never_made_up() -> None:
    """18 October 2025 is a Saturday: the standard library's calendar says so."""
    moment = datetime(2025, 10, 18, 9, 5)
    assert calendar.day_name[moment.weekday()].startswith("Sat")
    assert day_words(moment.date()) == "Sat 18 Oct 2025"
    assert day_words(moment.date(), year=False) == "Sat 18 Oct"
    assert moment_words(moment) == "18 Oct 09:05"
    assert moment_with_year(moment) == "18 Oct 2025 09:05"
    assert {day_words(None), moment_words(None), moment_with_year(None)} == {"time not known"}


@given(st.text(st.characters(categories=("Cc", "Zl", "Zp")), min_size=1, max_size=8), st.integers(0, 12))
def test_no_sign_that_moves_the_cursor_reaches_the_screen(controls: str, width: int) -> None:
    for text in (fit_words(controls, width), shorten_words(f"a{controls}b", max(4, width))):
        assert text.isprintable()


@settings(deadline=None)
@given(mixed, st.integers(-3, 20))
def test_a_cut_text_has_room_and_ends_in_a_whole_letter(text: str, width: int) -> None:
    cut = cut_words(text, width)
    assert text.startswith(cut)
    assert width_of(cut) <= max(0, width)
    if cut != text:
        assert width_of(cut) >= width - 1  # at most half a wide letter is left free
