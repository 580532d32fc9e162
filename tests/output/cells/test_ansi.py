"""Cells to terminal text, read back by a small terminal, and colours against the palette itself."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from asfound.output.cells.ansi import RESET, as_shown, encode_row, encode_rows
from asfound.output.cells.blocks import QUADRANTS, Cells
from asfound.output.cells.colour import Colour
from tests.output.cells.reading_ansi import Shown, read_ansi

STEPS = (0, 95, 135, 175, 215, 255)
PALETTE = [(red, green, blue) for red in STEPS for green in STEPS for blue in STEPS]
PALETTE += [(8 + 10 * step,) * 3 for step in range(24)]
"""Colours 16 to 255 of xterm's palette (xterm, 256colres.pl): a cube of 6 steps a channel, then 24 greys."""

GREYS = {16: 0, 231: 255, **{232 + step: 8 + 10 * step for step in range(24)}}


@st.composite
def some_cells(draw: st.DrawFn) -> Cells:
    """Small grids with few colours, so that runs of one colour come up."""
    rows, columns = draw(st.integers(1, 3)), draw(st.integers(1, 8))
    colours = np.array([(0, 0, 0), (255, 255, 255), (200, 30, 10), (8, 8, 8)], dtype=np.uint8)
    picks = arrays(np.int8, (rows, columns), elements=st.integers(0, 3))
    codes = draw(arrays(np.int8, (rows, columns), elements=st.integers(0, 15)))
    return Cells(
        np.array([[ord(QUADRANTS[code]) for code in row] for row in codes], dtype=np.uint32),
        colours[draw(picks)],
        colours[draw(picks)],
    )


def in_true_colour(cells: Cells, row: int) -> list[tuple[str, tuple[int, ...], tuple[int, ...]]]:
    return [
        (sign, tuple(ink), tuple(paper))
        for sign, ink, paper in zip(cells.text(row), cells.ink[row].tolist(), cells.paper[row].tolist(), strict=True)
    ]


def check(read: list[Shown], wanted: list[tuple[str, tuple[int, ...], tuple[int, ...]]]) -> None:
    """A space shows its paper only."""
    assert [one.character for one in read] == [sign for sign, _, _ in wanted]
    assert [one.paper for one in read] == [paper for _, _, paper in wanted]
    for one, (sign, ink, _) in zip(read, wanted, strict=True):
        assert sign == " " or one.ink == ink


@given(some_cells())
def test_true_colour_is_shown_as_it_is(cells: Cells):
    rows = encode_rows(cells)

    assert len(rows) == cells.rows
    for row, text in enumerate(rows):
        check(read_ansi(text), in_true_colour(cells, row))
        assert text == encode_row(cells, row)


@settings(deadline=None)
@given(some_cells(), st.sampled_from([Colour.PALETTE, Colour.GREY, Colour.SHADES]))
def test_fewer_colours_show_what_exports_say_they_show(cells: Cells, colour: Colour):
    """Back through the numbers of the palette; the four greys of 16-colour terminals are black, dark, light, white."""
    shades = {30: 0, 90: 1, 37: 2, 97: 3, 40: 0, 100: 1, 47: 2, 107: 3}
    for row, text in enumerate(encode_rows(cells, colour)):
        inks, papers = as_shown(cells.ink[row], colour).tolist(), as_shown(cells.paper[row], colour).tolist()
        for shown, ink, paper in zip(read_ansi(text), inks, papers, strict=True):
            for numbers, wanted in ((shown.ink, ink), (shown.paper, paper)):
                if numbers is shown.ink and shown.character == " ":
                    continue
                (number,) = numbers
                if colour is Colour.SHADES:
                    assert [shades[number] * 85] * 3 == wanted
                elif colour is Colour.PALETTE:
                    assert list(PALETTE[number - 16]) == wanted
                else:
                    assert abs(GREYS[number] - wanted[0]) <= 9


@given(some_cells())
def test_colour_is_said_only_where_it_changes(cells: Cells):
    """Bytes are what a slow line waits for."""
    for row, text in enumerate(encode_rows(cells)):
        changes, last_ink, last_paper = 0, None, None
        for sign, ink, paper in in_true_colour(cells, row):
            changes += paper != last_paper or (sign != " " and ink != last_ink)
            last_paper, last_ink = paper, last_ink if sign == " " else ink
        assert text.count("\x1b[") == changes + 1
        assert text.endswith(RESET)


@settings(max_examples=300)
@given(st.tuples(*[st.integers(0, 31)] * 3))
def test_palette_colour_is_the_nearest_there_is(fifths: tuple[int, int, int]):
    """Against the least distance to all 240, from the middle of each of 32 steps a channel."""
    colour = np.array([[[8 * step + 4 for step in fifths]]], dtype=np.uint8)

    shown = as_shown(colour, Colour.PALETTE)[0, 0].astype(int)

    def distance(other: object) -> int:
        return int(((np.array(other) - colour[0, 0].astype(int)) ** 2).sum())

    assert tuple(shown.tolist()) in PALETTE
    assert distance(shown) == min(map(distance, PALETTE))


@given(st.integers(0, 255))
def test_grey_is_the_nearest_grey_of_the_palette(level: int):
    cells = Cells.blank(1, 1, (level, level, level))

    ((number,),) = [one.paper for one in read_ansi(encode_row(cells, 0, Colour.GREY))]

    assert abs(GREYS[number] - level) == min(abs(grey - level) for grey in GREYS.values())


@pytest.mark.parametrize(
    ("colour", "level"), [((255, 0, 0), 76), ((0, 255, 0), 149), ((0, 0, 255), 29), ((255, 255, 255), 255)]
)
def test_lightness_weighs_the_channels_as_television_does(colour: tuple[int, int, int], level: int):
    """ITU-R BT.601: .299 red, .587 green, .114 blue."""
    shown = as_shown(np.array([[colour]], dtype=np.uint8), Colour.GREY)

    assert shown.dtype == np.uint8
    assert set(shown[0, 0].tolist()) <= {level, level - 1}
    assert len(set(shown[0, 0].tolist())) == 1


@pytest.mark.parametrize(("level", "shade"), [(0, 0), (42, 0), (43, 85), (127, 85), (128, 170), (213, 255), (255, 255)])
def test_four_greys_are_rounded(level: int, shade: int):
    grey = np.full((1, 1, 3), level, dtype=np.uint8)

    assert as_shown(grey, Colour.SHADES)[0, 0].tolist() == [shade] * 3


def test_true_colour_is_exported_as_it_is():
    colours = np.arange(12, dtype=np.uint8).reshape(2, 2, 3)

    assert as_shown(colours, Colour.TRUE) is colours
