"""Where pictures lie on a contact sheet."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.output.cells.blocks import Cells
from asfound.tui.widgets.contact_sheet import write_hidden, write_words
from asfound.tui.widgets.sheet_grid import LEAST_TILE, SheetGrid

grids = st.builds(SheetGrid, st.integers(10, 250), st.integers(3, 80), st.integers(1, 200), st.floats(1.2, 3.2))


@pytest.mark.parametrize(
    ("columns", "rows", "count", "across"),
    [(80, 20, 1, 2), (80, 40, 1, 1), (80, 20, 6, 3), (120, 36, 6, 3), (200, 56, 6, 3), (20, 20, 9, 1)],
)
def test_pictures_are_as_large_as_lets_all_be_seen(columns: int, rows: int, count: int, across: int) -> None:
    assert SheetGrid(columns, rows, count, 2.0).across == across


@given(grids)
def test_no_picture_is_too_small_to_be_made_out_where_there_is_room_for_one(grid: SheetGrid) -> None:
    assert grid.across == 1 or grid.tile_columns >= LEAST_TILE
    assert grid.across * grid.tile_columns <= grid.columns


@given(grids, st.data())
def test_the_chosen_picture_is_in_sight_and_a_click_on_it_finds_it(grid: SheetGrid, data: st.DataObject) -> None:
    index = data.draw(st.integers(0, grid.count - 1))
    top_row = grid.top_row_for(index, data.draw(st.integers(0, grid.count)))
    assert index in grid.visible(top_row)
    column, row = grid.corner_of(index, top_row)
    assert 0 <= column <= grid.columns - grid.tile_columns
    assert 0 <= row < grid.rows
    assert grid.index_at(column, row, top_row) == index
    assert grid.index_at(column + grid.tile_columns - 1, row, top_row) == index


@given(grids, st.data())
def test_the_sheet_stays_where_it_is_while_the_chosen_picture_is_seen(grid: SheetGrid, data: st.DataObject) -> None:
    top_row = data.draw(st.integers(0, (grid.count - 1) // grid.across))
    last = min(grid.count, (top_row + grid.rows_shown) * grid.across) - 1
    assert grid.top_row_for(top_row * grid.across, top_row) == top_row
    assert grid.top_row_for(last, top_row) == top_row


@given(grids, st.data())
def test_pictures_above_in_sight_and_below_are_all_there_are(grid: SheetGrid, data: st.DataObject) -> None:
    top_row = data.draw(st.integers(0, (grid.count - 1) // grid.across))
    above, below = grid.hidden(top_row)
    whole = min(grid.rows_shown * grid.across, grid.count - above)
    assert above + whole + below == grid.count


def test_a_click_beside_the_pictures_finds_none() -> None:
    grid = SheetGrid(80, 20, 4, 2.0)
    assert grid.across == 3
    assert grid.index_at(79, 0, 0) is None  # three of 26 leave two columns
    assert grid.index_at(30, grid.tile_rows, 0) is None  # the second row holds one


def test_the_words_of_the_chosen_picture_are_marked_and_framed() -> None:
    grid = SheetGrid(80, 20, 4, 2.0)
    cells = Cells.blank(80, 20, (0, 0, 0))
    write_words(cells, grid, "18 Oct 09:42", *grid.corner_of(1, 0), is_chosen=True)
    below = grid.tile_rows - 1
    assert cells.text(below)[26:52] == "▸18 Oct 09:42            ◂"
    assert {cells.text(row)[26] + cells.text(row)[51] for row in range(below)} == {"▌▐"}


def test_words_too_long_for_a_picture_are_cut_within_it() -> None:
    grid = SheetGrid(80, 20, 4, 2.0)
    cells = Cells.blank(80, 20, (0, 0, 0))
    write_words(cells, grid, "x" * 80, *grid.corner_of(0, 0), is_chosen=False)
    assert cells.text(grid.tile_rows - 1).rstrip() == " " + "x" * 23 + "…"


def test_pictures_out_of_sight_are_counted_where_there_are_any() -> None:
    cells = Cells.blank(40, 5, (0, 0, 0))
    write_hidden(cells, 0, 12)
    assert cells.text(4).endswith(" ▼ 12 below ")
    assert cells.text(0).strip() == ""
    write_hidden(cells, 3, 0)
    assert cells.text(0).endswith(" ▲ 3 above ")


def test_a_count_that_covers_a_word_shows_that_the_word_goes_on() -> None:
    cells = Cells.blank(40, 5, (0, 0, 0))
    cells.write(0, 4, "w" * 40, (255, 255, 255))
    write_hidden(cells, 0, 1)
    assert cells.text(4).endswith("w… ▼ 1 below ")
