"""A picture as finished lines of terminal text, for commands that print one and go on. Needs no Textual."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.output.cells.ansi import encode_rows
from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.frame import draw_marks, draw_picture
from asfound.output.cells.labels import PinMark
from asfound.output.cells.pyramid import Pyramid, RGBImage
from asfound.output.cells.view import View


def draw_still(
    image_rgb: RGBImage,
    columns: int,
    rows: int,
    *,
    pins_frac: Sequence[tuple[str, float, float]] = (),
    around_frac: tuple[float, float] | None = None,
    magnification: float = 1.0,
    colour: Colour = Colour.TRUE,
    glyphs: Glyphs = Glyphs.QUADRANTS,
    aspect: float = 2.0,
) -> list[str]:
    """Draw a picture, or the part of it around a point, with the numbers of its pins.

    Parameters
    ----------
    image_rgb : ndarray of shape (height, width, 3), uint8
    columns, rows : int
        Room for the picture, in cells. A whole picture takes fewer of one of them when its shape asks for it.
    pins_frac : sequence of (text, x, y)
        Number and end, and position as fractions of the picture. The first is drawn as the current one.
    around_frac : (float, float), optional
        Middle of the part to draw; the middle of the picture when left out.
    magnification : float
        1 draws the whole picture, 3 a third of it in each direction.
    aspect : float
        Height of a cell over its width.

    Returns
    -------
    list of str
        One string per row, with colour sequences and a reset at the end, without line ends.
    """
    height, width = image_rgb.shape[:2]
    view = View.fit(width, height, columns, rows, aspect)
    if magnification > 1:
        x_frac, y_frac = around_frac or (0.5, 0.5)
        view = view.centred(x_frac * width, y_frac * height, view.fit_px_per_column / magnification)
    else:
        used_columns = min(columns, max(1, round(width / view.px_per_column)))
        used_rows = min(rows, max(1, round(height / view.px_per_row)))
        view = View.fit(width, height, used_columns, used_rows, aspect)
    cells = draw_picture(Pyramid.build(image_rgb), view, glyphs=glyphs)
    marks = [
        PinMark(text, x_frac * width, y_frac * height, current=index == 0)
        for index, (text, x_frac, y_frac) in enumerate(pins_frac)
    ]
    draw_marks(cells, view, marks)
    return encode_rows(cells, colour)
