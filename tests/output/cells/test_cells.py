"""A grid of cells: what is written or laid over it stays inside, and no half of a wide letter is left anywhere."""

from __future__ import annotations

import unicodedata

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.output.cells.blocks import QUADRANTS, SEXTANTS, Cells, fit_halves, fit_quadrants, fit_sextants
from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.wide import TAIL, in_cells, is_wide

INK, PAPER, OTHER = (1, 2, 3), (4, 5, 6), (7, 8, 9)
COLUMNS, ROWS = 12, 3
letters = st.text("ab7 é日語ｱ한\u0301\u200b", max_size=16)


def grid(text: str = "") -> Cells:
    cells = Cells.blank(COLUMNS, ROWS, PAPER)
    cells.write(0, 1, text.ljust(COLUMNS), OTHER)
    return cells


def test_blank_grid_is_spaces_on_paper():
    cells = Cells.blank(5, 2, PAPER)

    assert (cells.columns, cells.rows) == (5, 2)
    assert [cells.text(row) for row in (0, 1)] == [" " * 5] * 2
    assert cells.paper.shape == cells.ink.shape == (2, 5, 3)
    assert (cells.paper == PAPER).all()
    assert (Cells.blank(1, 1).paper == (22, 22, 22)).all()


@pytest.mark.parametrize(
    ("column", "text", "row_text"),
    [
        (0, "abc", "abc........."),
        (9, "abc", ".........abc"),
        (10, "abc", "..........ab"),
        (12, "abc", "............"),
        (99, "abc", "............"),
        (-2, "abc", "c..........."),
        (-3, "abc", "............"),
        (-1, "abcdefghijklmnop", "bcdefghijklm"),
        (3, "", "............"),
    ],
)
def test_text_that_sticks_out_is_cut_off(column: int, text: str, row_text: str):
    cells = grid("." * COLUMNS)

    cells.write(column, 1, text, INK)

    assert cells.text(1) == row_text
    assert cells.text(0) == cells.text(2) == " " * COLUMNS


@pytest.mark.parametrize("row", [-1, ROWS, 99])
def test_text_above_and_below_the_grid_is_left_out(row: int):
    cells = grid()

    cells.write(0, row, "abc", INK)

    assert {cells.text(at) for at in range(ROWS)} == {" " * COLUMNS}


def test_text_brings_its_ink_and_keeps_the_paper_unless_it_brings_one():
    cells = grid()

    cells.write(2, 1, "ab", INK)
    cells.write(4, 1, "cd", INK, OTHER)

    assert cells.ink[1, :7].tolist() == [list(OTHER)] * 2 + [list(INK)] * 4 + [list(OTHER)]
    assert cells.paper[1, :7].tolist() == [list(PAPER)] * 4 + [list(OTHER)] * 2 + [list(PAPER)]


@given(first=letters, second=letters, at=st.integers(-4, COLUMNS + 2))
def test_no_half_of_a_wide_letter_is_left_whatever_is_written_over_what(first: str, second: str, at: int):
    """Width by Unicode Standard Annex 11, as a terminal goes by it."""
    cells = grid()
    cells.write(0, 1, first, INK)

    cells.write(at, 1, second, INK)

    row = cells.text(1)
    assert len(row) == COLUMNS
    for place, sign in enumerate(row):
        behind = row[place + 1] if place + 1 < COLUMNS else ""
        if unicodedata.east_asian_width(sign) in "WF":
            assert behind == TAIL
        if sign == TAIL:
            assert place > 0
            assert unicodedata.east_asian_width(row[place - 1]) in "WF"


@given(letters)
def test_text_has_as_many_characters_as_a_terminal_gives_it_cells(text: str):
    laid = in_cells(text)

    joined = [sign for sign in unicodedata.normalize("NFC", text.replace(TAIL, "")) if not unicodedata.combining(sign)]
    assert len(laid) == sum(2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in joined)
    assert laid.replace(TAIL, "") == "".join(joined)


@pytest.mark.parametrize(("sign", "wide"), [("a", False), ("é", False), ("日", True), ("Ａ", True), ("ｱ", False)])
def test_wide_signs_are_those_of_annex_11(sign: str, wide: bool):
    assert is_wide(sign) is wide


@given(st.integers(0, 14), st.integers(0, 4))
def test_grid_laid_over_another_changes_only_the_cells_they_share(column: int, row: int):
    cells, other = grid("." * COLUMNS), Cells.blank(4, 2, OTHER)
    other.write(0, 0, "abcd", INK)
    other.write(0, 1, "efgh", INK)

    cells.paste(other, column, row)

    for y in range(ROWS):
        for x in range(COLUMNS):
            inside = column <= x < column + 4 and row <= y < row + 2
            wanted = ("abcd", "efgh")[y - row][x - column] if inside else ("." if y == 1 else " ")
            assert cells.text(y)[x] == wanted
            assert cells.paper[y, x].tolist() == list(OTHER if inside else PAPER)
            assert (cells.ink[y, x].tolist() == list(INK)) is inside


def mean_error(pixels: np.ndarray, inked: np.ndarray) -> float:
    sides = [pixels[inked], pixels[~inked]]
    return float(sum(((side - side.mean(axis=0)) ** 2).sum() for side in sides if len(side)))


@pytest.mark.parametrize(("fit", "down"), [(fit_quadrants, 2), (fit_sextants, 3)])
@pytest.mark.parametrize("seed", range(5))
def test_split_with_the_least_squared_error_of_all_is_taken(fit: object, down: int, seed: int):
    """Against every split there is, tried one by one."""
    block = np.random.default_rng(seed).integers(0, 256, (down, 2, 3), dtype=np.uint8)
    cells = fit(block, flat=0.0)  # type: ignore[operator]
    parts = block.reshape(-1, 3).astype(float)
    every = [
        mean_error(parts, np.array([bool(bits >> part & 1) for part in range(len(parts))]))
        for bits in range(1, 2 ** len(parts) - 1)
    ]

    code = chr(cells.codes[0, 0])
    bits = (QUADRANTS if down == 2 else SEXTANTS).index(code)
    inked = np.array([bool(bits >> part & 1) for part in range(len(parts))])
    assert mean_error(parts, inked) == pytest.approx(min(every))
    assert np.abs(cells.ink[0, 0] - parts[inked].mean(axis=0)).max() <= 0.5
    assert np.abs(cells.paper[0, 0] - parts[~inked].mean(axis=0)).max() <= 0.5


def test_cell_that_gains_too_little_is_drawn_in_its_mean_colour():
    """Parts of 100 and 110: a split gains a mean squared error of 25."""
    block = np.full((2, 2, 3), 100, dtype=np.uint8)
    block[:, 1] = 110
    gain = 25.0 * 3

    split, flat = fit_quadrants(block, flat=gain - 0.1), fit_quadrants(block, flat=gain + 0.1)

    assert split.text(0) in "▌▐"
    assert flat.text(0) == " "
    assert flat.paper[0, 0].tolist() == [105, 105, 105]


@pytest.mark.parametrize("fit", [fit_quadrants, fit_sextants, fit_halves])
def test_pixels_that_fill_no_cell_are_left_out(fit: object):
    down = 3 if fit is fit_sextants else 2
    across = 1 if fit is fit_halves else 2
    pixels = np.zeros((down * 2 + 1, across * 3 + (across - 1), 3), dtype=np.uint8)

    cells = fit(pixels)  # type: ignore[operator]

    assert (cells.columns, cells.rows) == (3, 2)


def test_half_blocks_of_one_colour_are_spaces():
    pixels = np.zeros((4, 2, 3), dtype=np.uint8)
    pixels[2, 1] = (9, 9, 9)

    assert [fit_halves(pixels).text(row) for row in (0, 1)] == ["  ", " ▀"]


def test_one_key_goes_round_the_choices_of_colour():
    assert [Colour.TRUE.after(), Colour.PALETTE.after(), Colour.GREY.after()] == [
        Colour.PALETTE,
        Colour.GREY,
        Colour.TRUE,
    ]
    assert Colour.SHADES.after() is Colour.TRUE


@pytest.mark.parametrize(
    ("glyphs", "pixels"), [(Glyphs.SEXTANTS, (2, 3)), (Glyphs.QUADRANTS, (2, 2)), (Glyphs.HALVES, (1, 2))]
)
def test_glyphs_say_how_many_pixels_a_cell_has(glyphs: Glyphs, pixels: tuple[int, int]):
    assert (glyphs.across, glyphs.down) == pixels
