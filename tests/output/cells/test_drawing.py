"""Pixels to cells to terminal text, each step checked against the one before."""

from __future__ import annotations

import itertools
import re
import subprocess
import sys
import unicodedata

import numpy as np
import pytest

from asfound.output.cells.ansi import as_shown, encode_row, encode_rows
from asfound.output.cells.blocks import QUADRANTS, SEXTANTS, Cells, fit_halves, fit_quadrants, fit_sextants
from asfound.output.cells.colour import Colour
from asfound.output.cells.frame import draw_marks, draw_picture
from asfound.output.cells.labels import PinMark, place_labels
from asfound.output.cells.pyramid import BESIDE, Pyramid
from asfound.output.cells.still import draw_still
from asfound.output.cells.view import View
from tests.output.cells.reading_ansi import read_ansi


def some_cells(rows: int = 3, columns: int = 7) -> Cells:
    chance = np.random.default_rng(5)
    return fit_quadrants(chance.integers(0, 256, (rows * 2, columns * 2, 3), dtype=np.uint8))


def render_pixels(cells: Cells) -> np.ndarray:
    """Draw quadrant cells back as two by two pixels each."""
    out = np.zeros((cells.rows * 2, cells.columns * 2, 3))
    for row, column in itertools.product(range(cells.rows), range(cells.columns)):
        inked = QUADRANTS.index(chr(cells.codes[row, column]))
        for bit in range(4):
            colour = cells.ink if inked >> bit & 1 else cells.paper
            out[row * 2 + bit // 2, column * 2 + bit % 2] = colour[row, column]
    return out


def test_blocks_of_two_colours_are_drawn_exactly() -> None:
    chance = np.random.default_rng(2)
    pixels = np.zeros((8, 12, 3), dtype=np.uint8)
    for row, column in itertools.product(range(4), range(6)):
        colours = chance.integers(0, 256, (2, 3))
        pixels[row * 2 : row * 2 + 2, column * 2 : column * 2 + 2] = colours[chance.integers(0, 2, (2, 2))]

    assert np.abs(render_pixels(fit_quadrants(pixels, flat=0)) - pixels).max() <= 1


def test_the_split_with_the_least_error_is_taken() -> None:
    chance = np.random.default_rng(3)
    block = chance.integers(0, 256, (2, 2, 3)).astype(np.uint8)
    drawn = render_pixels(fit_quadrants(block, flat=0))
    error = ((drawn - block) ** 2).sum()

    quarters = block.reshape(4, 3).astype(float)
    for inked in range(1, 15):
        chosen = np.array([bool(inked >> bit & 1) for bit in range(4)])
        by_hand = sum(((quarters[side] - quarters[side].mean(axis=0)) ** 2).sum() for side in (chosen, ~chosen))
        assert error <= by_hand + 4 * 3 * 0.5


def test_a_flat_block_is_one_colour() -> None:
    cells = fit_quadrants(np.full((4, 4, 3), 90, dtype=np.uint8))

    assert cells.text(0) == "  "
    assert (cells.paper == 90).all()


def test_half_blocks_keep_every_pixel() -> None:
    pixels = np.random.default_rng(4).integers(0, 256, (6, 5, 3), dtype=np.uint8)

    cells = fit_halves(pixels)

    assert (cells.ink == pixels[0::2]).all()
    assert (cells.paper == pixels[1::2]).all()


def test_true_colour_text_reads_back() -> None:
    cells = some_cells()
    for row, text in enumerate(encode_rows(cells)):
        read = read_ansi(text)
        assert "".join(cell[0] for cell in read) == cells.text(row)
        assert [cell[2] for cell in read] == [tuple(colour) for colour in cells.paper[row].tolist()]
        for (character, ink, _), wanted in zip(read, cells.ink[row].tolist(), strict=True):
            assert character == " " or ink == tuple(wanted)
        assert text.endswith("\x1b[0m")


@pytest.mark.parametrize("colour", [Colour.PALETTE, Colour.GREY])
def test_palette_text_names_the_colours_that_exports_show(colour: Colour) -> None:
    cells = some_cells()
    papers = [cell[2][0] for cell in read_ansi(encode_row(cells, 0, colour))]

    assert all(16 <= number <= 255 for number in papers)
    if colour is Colour.GREY:
        assert all(number in (16, 231) or number >= 232 for number in papers)
    else:
        steps = (0, 95, 135, 175, 215, 255)
        for number, shown in zip(papers, as_shown(cells.paper[0], colour).tolist(), strict=True):
            if number < 232:
                rest = number - 16
                assert shown == [steps[rest // 36], steps[rest // 6 % 6], steps[rest % 6]]
            else:
                assert shown == [8 + 10 * (number - 232)] * 3


def test_sixteen_colour_terminals_get_greys_only() -> None:
    codes = set(
        re.findall(r"\d+", " ".join(re.findall(r"\x1b\[([\d;]+)m", encode_row(some_cells(), 0, Colour.SHADES))))
    )

    assert codes <= {"0", "30", "90", "37", "97", "40", "100", "47", "107"}


@pytest.mark.parametrize("step", [0.25, 0.7, 1.0, 2.0, 3.3, 6.0])
def test_a_pyramid_samples_the_right_place(step: float) -> None:
    """A picture whose colours are its coordinates tells where each sample came from."""
    x, y = np.meshgrid(np.arange(512), np.arange(384))
    image = np.stack([x // 2, y // 2, np.zeros_like(x)], axis=-1).astype(np.uint8)
    left, top = 60.0, 40.0

    sampled = Pyramid.build(image).sample(left, top, step, step * 2, 40, 12).astype(float)

    wanted_x = left + (np.arange(40) + 0.5) * step
    wanted_y = top + (np.arange(12) + 0.5) * step * 2
    assert np.abs(sampled[:, :, 0] * 2 + 1 - wanted_x[None]).max() <= 2.5
    assert np.abs(sampled[:, :, 1] * 2 + 1 - wanted_y[:, None]).max() <= 2.5


def test_a_preview_is_sampled_in_pixels_of_the_full_picture() -> None:
    x = np.arange(256)
    preview = np.repeat(np.repeat(x[None, :, None], 192, axis=0), 3, axis=2).astype(np.uint8)

    sampled = Pyramid.build(preview, (4096, 3072)).sample(1600, 0, 16, 32, 20, 10)

    assert sampled[5, :, 0].tolist() == pytest.approx(list(range(100, 120)), abs=1)


def test_beside_the_picture_is_dark() -> None:
    image = np.full((64, 64, 3), 200, dtype=np.uint8)

    sampled = Pyramid.build(image).sample(-32, 0, 8, 8, 8, 4)

    assert sampled[0, 0].tolist() == list(BESIDE)
    assert sampled[0, -1].tolist() == [200, 200, 200]


VIEW = View.fit(800, 400, 80, 20)


def test_a_label_starts_at_its_pin() -> None:
    (label,) = place_labels([PinMark("112A", 405, 205)], VIEW)

    assert (label.column, label.row, label.text) == (40, 10, "◀112A")


def test_a_label_flips_at_the_right_edge() -> None:
    (label,) = place_labels([PinMark("112A", 795, 205)], VIEW)

    assert label.text == "112A▶"
    assert label.column + len(label.text) - 1 == 79


def test_a_label_makes_room_for_the_crosshair() -> None:
    (label,) = place_labels([PinMark("112A", 405, 205)], VIEW, crosshair=(40, 10))

    assert not set(range(38, 43)) & set(range(label.column, label.column + len(label.text)))


def test_labels_do_not_overlap_and_the_current_one_keeps_its_place() -> None:
    marks = [PinMark(str(number), 405 + number, 205) for number in range(4)]
    marks.append(PinMark("77B", 407, 205, current=True))

    labels = place_labels(marks, VIEW)

    numbers = [label for label in labels if label.text != "◀"]
    cells = [(label.column + shift, label.row) for label in numbers for shift in range(len(label.text))]
    assert len(cells) == len(set(cells))
    assert len(numbers) >= 4
    assert (labels[-1].text, labels[-1].column) == ("◀[77B]", 40)


def test_a_proposal_has_a_question_mark() -> None:
    (label,) = place_labels([PinMark("9A", 100, 100, proposed=True)], VIEW)

    assert label.text == "◀9A?"


def test_crosshair_and_label_are_drawn_over_the_picture() -> None:
    cells = draw_picture(Pyramid.build(np.full((400, 800, 3), 120, dtype=np.uint8)), VIEW)

    draw_marks(cells, VIEW, [PinMark("5A", 205, 105)], crosshair=(405, 205), outline=(600, 50, 700, 150))

    assert cells.text(10)[38:43] == "━╸╋╺━"
    assert cells.text(5)[20:23] == "◀5A"
    assert cells.text(2)[60] == "┌"
    assert cells.text(7)[70] == "┘"


def test_a_still_has_the_shape_of_its_picture() -> None:
    image = np.random.default_rng(1).integers(0, 255, (300, 400, 3), dtype=np.uint8)

    lines = draw_still(image, 80, 20, pins_frac=[("31A", 0.5, 0.5)])

    assert len(lines) == 20
    assert {len(read_ansi(line)) for line in lines} == {53}
    assert "◀[31A]" in "".join(cell[0] for cell in read_ansi(lines[10]))


def test_a_still_can_show_a_part() -> None:
    image = np.random.default_rng(1).integers(0, 255, (300, 400, 3), dtype=np.uint8)

    lines = draw_still(image, 60, 12, around_frac=(0.25, 0.25), magnification=3)

    assert len(lines) == 12
    assert {len(read_ansi(line)) for line in lines} == {60}


def test_stills_need_no_textual() -> None:
    code = "import asfound.output.cells.still, sys; print('textual' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def test_each_sextant_inks_the_sixths_that_its_name_in_the_standard_says() -> None:
    """Unicode 13 names them BLOCK SEXTANT- and the numbers of the inked sixths, 1 to 6 in reading order."""
    for bits, character in enumerate(SEXTANTS):
        name = unicodedata.name(character)
        if name.startswith("BLOCK SEXTANT-"):
            assert sum(1 << (int(digit) - 1) for digit in name.removeprefix("BLOCK SEXTANT-")) == bits
    assert [SEXTANTS[bits] for bits in (0, 0b010101, 0b101010, 0b111111)] == [" ", "▌", "▐", "█"]
    assert len(set(SEXTANTS)) == 64


def test_sextants_keep_two_colours_of_a_cell_exactly() -> None:
    rng = np.random.default_rng(3)
    sets = rng.integers(1, 31, (4, 5))
    pixels = np.zeros((12, 10, 3), np.uint8)
    for row, column in np.ndindex(4, 5):
        for part in range(6):
            inked = sets[row, column] >> part & 1
            pixels[row * 3 + part // 2, column * 2 + part % 2] = (250, 200, 10) if inked else (20, 40, 60)

    cells = fit_sextants(pixels)

    for row, column in np.ndindex(4, 5):
        drawn = SEXTANTS.index(chr(cells.codes[row, column]))
        ink, paper = tuple(cells.ink[row, column]), tuple(cells.paper[row, column])
        assert {ink, paper} == {(250, 200, 10), (20, 40, 60)}
        wanted = sets[row, column] if ink == (250, 200, 10) else 63 - sets[row, column]
        assert drawn == wanted
