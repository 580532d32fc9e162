"""One frame of the canvas: the picture as cells, and the marks drawn over them."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.output.cells.blocks import Cells, fit_halves, fit_quadrants, fit_sextants
from asfound.output.cells.colour import Glyphs
from asfound.output.cells.labels import CROSSHAIR, MARGIN, Label, PinMark, place_labels
from asfound.output.cells.pyramid import Pyramid, lift_shadows, sharpen
from asfound.output.cells.view import View

BLACK = (0, 0, 0)
WHITE = (255, 255, 255)
YELLOW = (255, 214, 10)
DIM_YELLOW = (176, 152, 44)
PALE = (214, 208, 188)


def draw_picture(
    pyramid: Pyramid, view: View, *, glyphs: Glyphs = Glyphs.QUADRANTS, sharp: float = 0.6, lifted: bool = False
) -> Cells:
    """The part of a picture that a view shows, as cells.

    Parameters
    ----------
    sharp : float
        Amount of sharpening after reduction; 0 for none, 0.6 as a rule, 1.0 finds thin wires.
    lifted : bool
        Brighten dark corners.
    """
    across, down = glyphs.across, glyphs.down
    pixels = pyramid.sample(
        view.left,
        view.top,
        view.px_per_column / across,
        view.px_per_row / down,
        view.columns * across,
        view.rows * down,
    )
    if lifted:
        pixels = lift_shadows(pixels)
    if sharp > 0:
        pixels = sharpen(pixels, sharp, 0.8 if sharp < 0.9 else 1.0)
    if glyphs is Glyphs.HALVES:
        return fit_halves(pixels)
    return fit_sextants(pixels) if glyphs is Glyphs.SEXTANTS else fit_quadrants(pixels)


def draw_marks(
    cells: Cells,
    view: View,
    marks: Sequence[PinMark],
    *,
    crosshair: tuple[float, float] | None = None,
    outline: tuple[float, float, float, float] | None = None,
) -> list[Label]:
    """Draw box outlines, the crosshair and the pins' numbers over a frame, in that order.

    Parameters
    ----------
    crosshair : (float, float), optional
        In source pixels.
    outline : (float, float, float, float), optional
        A box that is being drawn: two opposite corners in source pixels.

    Returns
    -------
    list of Label
        The labels as placed, so that a click on one can be answered.
    """
    for mark in marks:
        if mark.w and mark.h:
            ink = YELLOW if mark.current else DIM_YELLOW
            corners = (mark.x - mark.w / 2, mark.y - mark.h / 2, mark.x + mark.w / 2, mark.y + mark.h / 2)
            _draw_outline(cells, view, corners, ink)
    if outline is not None:
        _draw_outline(cells, view, outline, WHITE)
    cell = view.cell_at(*crosshair) if crosshair is not None else None
    if cell is not None:
        cells.write(cell[0] - MARGIN, cell[1], CROSSHAIR, WHITE, BLACK)
    labels = place_labels(marks, view, cell)
    for label in labels:
        ink, paper = (BLACK, YELLOW) if label.mark.current else (BLACK, DIM_YELLOW)
        if label.mark.proposed:
            ink, paper = (BLACK, PALE) if label.mark.current else (PALE, BLACK)
        cells.write(label.column, label.row, label.text, ink, paper)
    return labels


def _draw_outline(
    cells: Cells, view: View, corners: tuple[float, float, float, float], ink: tuple[int, int, int]
) -> None:
    """A rectangle of line characters; sides outside the grid are left out, a box inside one cell is a small square."""
    x0, x1 = sorted((corners[0], corners[2]))
    y0, y1 = sorted((corners[1], corners[3]))
    left, top = view.cell_at(x0, y0)
    right, bottom = view.cell_at(x1, y1)
    if right < 0 or bottom < 0 or left >= cells.columns or top >= cells.rows:
        return
    if left == right and top == bottom:
        cells.write(left, top, "□", ink, BLACK)
        return
    width = right - left - 1
    if top == bottom:
        cells.write(left, top, "[" + "─" * max(0, width) + "]", ink, BLACK)
        return
    if left == right:
        for row in range(max(0, top), min(cells.rows, bottom + 1)):
            cells.write(left, row, "│", ink, BLACK)
        return
    cells.write(left, top, "┌" + "─" * width + "┐", ink, BLACK)
    cells.write(left, bottom, "└" + "─" * width + "┘", ink, BLACK)
    for row in range(max(0, top + 1), min(cells.rows, bottom)):
        for column in (left, right):
            if 0 <= column < cells.columns:
                cells.write(column, row, "│", ink, BLACK)
