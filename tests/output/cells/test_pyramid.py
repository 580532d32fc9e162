"""A picture at halving sizes: whatever scale is asked, each area is the mean of what lies under it."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.output.cells.blocks import QUADRANTS, SEXTANTS
from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.frame import draw_picture
from asfound.output.cells.pyramid import BESIDE, SMALLEST_SIDE_PX, Pyramid, lift_shadows, sharpen
from asfound.output.cells.still import draw_still
from asfound.output.cells.test_card import draw_test_card
from asfound.output.cells.view import View
from tests.output.cells.reading_ansi import read_ansi


def noise(height: int, width: int, seed: int = 1) -> np.ndarray:
    return np.random.default_rng(seed).integers(0, 256, (height, width, 3), dtype=np.uint8)


@given(st.integers(1, 700), st.integers(1, 700))
def test_levels_halve_until_the_shorter_side_is_near_64(height: int, width: int):
    pyramid = Pyramid.build(np.zeros((height, width, 3), dtype=np.uint8))

    sizes = [level.shape[:2] for level in pyramid.levels]
    assert sizes[0] == (height, width)
    assert (pyramid.source_w, pyramid.source_h) == (width, height)
    for before, after in pairwise(sizes):
        assert after == ((before[0] + 1) // 2, (before[1] + 1) // 2)
        assert min(before) >= 2 * SMALLEST_SIDE_PX
    assert min(sizes[-1]) < 2 * SMALLEST_SIDE_PX


@pytest.mark.parametrize("step", [1, 2, 4, 8])
def test_area_is_the_mean_of_its_pixels(step: int):
    """Against numpy's own mean; levels are rounded to whole numbers once each."""
    image = noise(256, 512)

    sampled = Pyramid.build(image).sample(0, 0, step, step, 512 // step, 256 // step)

    means = image.reshape(256 // step, step, 512 // step, step, 3).mean(axis=(1, 3))
    assert np.abs(sampled - means).max() <= 2


def test_areas_may_be_longer_one_way_than_the_other():
    image = noise(128, 128)

    sampled = Pyramid.build(image).sample(0, 0, 2, 4, 64, 32)

    means = image.reshape(32, 4, 64, 2, 3).mean(axis=(1, 3))
    assert np.abs(sampled - means).max() <= 2


@settings(deadline=None, max_examples=60)
@given(st.floats(-300, 600), st.floats(-300, 600), st.floats(0.3, 9), st.integers(1, 30), st.integers(1, 20))
def test_picture_of_one_colour_is_that_colour_and_beside_it_is_dark(
    left: float, top: float, step: float, out_w: int, out_h: int
):
    image = np.full((200, 300, 3), 200, dtype=np.uint8)

    sampled = Pyramid.build(image).sample(left, top, step, step, out_w, out_h)

    assert sampled.shape == (out_h, out_w, 3)
    for row in range(out_h):
        for column in range(out_w):
            x0, y0 = left + column * step, top + row * step
            margin = 2 * step + 2
            if margin <= x0 and x0 + step <= 300 - margin and margin <= y0 and y0 + step <= 200 - margin:
                assert sampled[row, column].tolist() == [200] * 3
            if x0 + step < -margin or x0 > 300 + margin or y0 + step < -margin or y0 > 200 + margin:
                assert sampled[row, column].tolist() == list(BESIDE)


def test_preview_is_counted_in_pixels_of_the_full_picture():
    pyramid = Pyramid.build(noise(100, 200), (2000.0, 1000.0))

    assert (pyramid.source_w, pyramid.source_h) == (2000.0, 1000.0)
    assert (pyramid.sample(0, 0, 10, 10, 200, 100) == pyramid.levels[0]).all()


def test_sharpening_overshoots_at_an_edge_and_leaves_flat_places_alone():
    image = np.full((20, 40, 3), 100, dtype=np.uint8)
    image[:, 20:] = 150

    sharp = sharpen(image, 1.0, 0.8).astype(int)

    assert sharp[10, 5].tolist() == [100] * 3
    assert sharp[10, 35].tolist() == [150] * 3
    assert sharp[10, 19, 0] < 100
    assert sharp[10, 20, 0] > 150
    assert (sharpen(image, 0.0) == image).all()
    assert np.abs(sharpen(image, 0.3).astype(int) - image).max() < np.abs(sharp - image).max()


def test_lifted_shadows_are_brighter_and_white_and_hue_stay():
    dark = np.zeros((64, 64, 3), dtype=np.uint8)
    dark[:, :, 0] = np.linspace(10, 60, 64, dtype=np.uint8)[None]

    lifted = lift_shadows(dark)

    assert lifted.mean() > dark.mean() + 5
    assert (lifted[:, :, 0] >= lifted[:, :, 1]).all()
    white = np.full((64, 64, 3), 255, dtype=np.uint8)
    assert (lift_shadows(white) >= 253).all()


@pytest.mark.parametrize("glyphs", list(Glyphs))
@pytest.mark.parametrize("lifted", [False, True])
def test_every_way_to_draw_fills_the_grid(glyphs: Glyphs, lifted: bool):
    view = View.fit(300, 200, 30, 10)

    cells = draw_picture(Pyramid.build(noise(200, 300)), view, glyphs=glyphs, lifted=lifted)

    assert (cells.columns, cells.rows) == (30, 10)
    characters = {sign for row in range(10) for sign in cells.text(row)}
    known = {Glyphs.HALVES: "▀ ", Glyphs.QUADRANTS: QUADRANTS, Glyphs.SEXTANTS: SEXTANTS}[glyphs]
    assert characters <= set(known)
    assert len(characters) > min(4, len(known) - 2)


def test_drawing_is_sharpened_unless_told_otherwise():
    pyramid, view = Pyramid.build(noise(200, 300)), View.fit(300, 200, 30, 10)

    drawn = {sharp: draw_picture(pyramid, view, sharp=sharp).ink.astype(int).std() for sharp in (0.0, 0.6, 1.0)}

    assert drawn[0.0] < drawn[0.6] < drawn[1.0]


@pytest.mark.parametrize(
    ("width", "height", "columns", "rows"),
    [(400, 300, 53, 20), (300, 400, 30, 20), (4000, 100, 80, 1), (100, 4000, 1, 20)],
)
def test_still_takes_the_room_that_its_shape_asks_for(width: int, height: int, columns: int, rows: int):
    lines = draw_still(noise(height, width), 80, 20)

    assert len(lines) == rows
    assert {len(read_ansi(line)) for line in lines} == {columns}


@pytest.mark.parametrize("colour", list(Colour))
def test_still_ends_each_line_without_colours_left_over(colour: Colour):
    for line in draw_still(noise(60, 80), 20, 8, colour=colour):
        assert line.endswith("\x1b[0m")
        assert "\n" not in line


def test_first_pin_of_a_still_is_in_hand_and_all_are_where_they_are():
    image = np.full((300, 600, 3), 90, dtype=np.uint8)

    lines = draw_still(image, 60, 15, pins_frac=[("17A", 0.25, 0.5), ("18B", 0.75, 0.25)])

    rows = ["".join(one.character for one in read_ansi(line)) for line in lines]
    assert rows[7].find("◀[17A]") == 15
    assert rows[3].find("◀18B") == 45


def test_part_of_a_still_shows_what_lies_around_the_point():
    image = np.zeros((300, 400, 3), dtype=np.uint8)
    image[:150, 200:] = (250, 0, 0)

    lines = draw_still(image, 40, 15, around_frac=(0.75, 0.25), magnification=4)
    middle = draw_still(image, 40, 15, magnification=4, pins_frac=[("9", 0.5, 0.5)])

    assert {one.paper for line in lines for one in read_ansi(line)} == {(250, 0, 0)}
    rows = ["".join(one.character for one in read_ansi(line)) for line in middle]
    assert rows[7].find("◀[9]") == 20


def test_test_card_shows_a_ring_a_disc_and_two_wires_in_their_colours():
    card = draw_test_card(200)

    assert card.shape == (200, 400, 3)
    assert card.dtype == np.uint8
    assert card[100, 100].tolist() == [108, 178, 255]
    assert card[100, 180].tolist() == [255, 214, 10]
    assert card[5, 5].tolist() == [40, 40, 40]
    assert card[5, 395].max() == 89
    for colour in ((255, 110, 60), (240, 240, 240), (230, 230, 230)):
        assert (card == colour).all(axis=2).sum() > 50
    assert (draw_test_card(200) == card).all()
