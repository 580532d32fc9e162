"""The quick row of a picture against the same row by Textual's public means."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.segment import Segment
from textual.strip import Strip

from asfound.output.cells.blocks import Cells, fit_quadrants
from asfound.output.cells.colour import Colour
from asfound.tui.canvas.strip import CellStrip, plain_strip

COLUMNS = 24


def cells_of(seed: int) -> Cells:
    """A row of a picture in few colours, so that some neighbours share theirs, with words on it."""
    chance = np.random.default_rng(seed)
    patches = (chance.integers(0, 3, (4, COLUMNS // 2, 3)) * 120).astype(np.uint8)
    cells = fit_quadrants(patches.repeat(4, axis=1))
    cells.write(3, 1, "112A 燃料", (255, 255, 255))
    return cells


def both(seed: int, colour: Colour = Colour.TRUE) -> tuple[Strip, Strip]:
    cells = cells_of(seed)
    return CellStrip(cells, 1, colour), plain_strip(cells, 1, colour)


def by_cell(strip: Strip) -> list[Segment]:
    """Every sign with its style, however the segments are cut."""
    return [Segment(sign, style) for text, style, _ in strip for sign in text]


@settings(deadline=None, max_examples=30)
@given(st.integers(0, 50), st.sampled_from(Colour), st.integers(0, COLUMNS), st.integers(0, COLUMNS))
def test_a_part_is_the_same_part(seed: int, colour: Colour, first: int, last: int) -> None:
    start, end = min(first, last), max(first, last)
    quick, plain = both(seed, colour)
    shown = by_cell(plain)[start:end]
    assert by_cell(quick.crop(start, end)) == shown
    assert quick.crop(start, end).cell_length == end - start


@settings(deadline=None, max_examples=30)
@given(st.integers(0, 50), st.sets(st.integers(1, COLUMNS), min_size=1))
def test_parts_that_it_is_divided_into_are_all_of_it_up_to_the_last_cut(seed: int, cuts: set[int]) -> None:
    quick, plain = both(seed)
    parts = quick.divide(sorted(cuts))
    assert [part.cell_length for part in parts] == np.diff([0, *sorted(cuts)]).tolist()
    assert [cell for part in parts for cell in by_cell(part)] == by_cell(plain)[: max(cuts)]


def test_all_of_it_is_itself() -> None:
    quick, _ = both(1)
    assert quick.crop(0) is quick
    assert quick.crop(-3, COLUMNS + 9) is quick
    assert quick.divide([COLUMNS]) == [quick]
    assert quick.apply_offsets(3, 4) is quick


@pytest.mark.parametrize("colour", Colour)
def test_neighbours_in_the_same_colours_are_one_segment(colour: Colour) -> None:
    _, plain = both(2, colour)
    styles = [style for _, style, _ in plain]
    assert all(before != after for before, after in itertools.pairwise(styles))
    assert 1 < len(styles) < COLUMNS


def test_in_greys_no_colour_is_left() -> None:
    _, plain = both(3, Colour.GREY)
    for _, style, _ in plain:
        assert style is not None
        for colour in (style.color, style.bgcolor):
            assert colour is not None
            assert len(set(colour.get_truecolor())) == 1
