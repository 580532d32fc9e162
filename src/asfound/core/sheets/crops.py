"""Which part of a picture is printed, and how many pixels paper can show."""

from __future__ import annotations

from dataclasses import dataclass

MM_PER_INCH = 25.4
PRINTED_DPI = 200
"""Dots per inch of printed pictures: at arm's length the eye tells about half of that (common practice)."""

SURROUNDINGS = 0.42
"""Width of the window around a pin as a share of the picture's longer side: the joint with what it hangs on."""

BOX_ROOM = 2.5
"""How much larger than a pin's box its window is at least."""


@dataclass(frozen=True, slots=True)
class Window:
    """A part of a picture in fractions of its width and height, origin top left, picture as displayed."""

    left: float = 0.0
    top: float = 0.0
    right: float = 1.0
    bottom: float = 1.0

    def place(self, x_frac: float, y_frac: float) -> tuple[float, float]:
        """A point of the picture in fractions of the window; outside of 0 to 1 it lies outside the window."""
        return (x_frac - self.left) / (self.right - self.left), (y_frac - self.top) / (self.bottom - self.top)


WHOLE = Window()


def window_around(
    pin_frac: tuple[float, float],
    box_frac: tuple[float, float] | None,
    picture_px: tuple[int, int],
    shape_mm: tuple[float, float],
) -> Window:
    """The part of a picture around a pin, in the shape in which it is printed.

    The pin is in the middle unless the picture ends there; then the window stays inside the picture. A picture too
    narrow for the shape is shown in its whole width or height, and what is left of the shape stays empty.

    Parameters
    ----------
    pin_frac : (float, float)
        The pin's point, or the middle of its box.
    box_frac : (float, float) or None
        Width and height of the box.
    picture_px : (int, int)
        Width and height of the picture as displayed.
    shape_mm : (float, float)
        Width and height on paper.
    """
    width_px, height_px = picture_px
    wanted_px = SURROUNDINGS * max(picture_px)
    if box_frac is not None:
        across, down = box_frac[0] * width_px, box_frac[1] * height_px * shape_mm[0] / shape_mm[1]
        wanted_px = max(wanted_px, BOX_ROOM * across, BOX_ROOM * down)
    w_frac = min(1.0, wanted_px / width_px)
    h_frac = min(1.0, wanted_px * shape_mm[1] / shape_mm[0] / height_px)
    left, top = _inside(pin_frac[0], w_frac), _inside(pin_frac[1], h_frac)
    return Window(left, top, left + w_frac, top + h_frac)


def fitted_mm(window: Window, picture_px: tuple[int, int], room_mm: tuple[float, float]) -> tuple[float, float]:
    """Width and height of a window on paper, as large as the room allows without changing its shape."""
    across = (window.right - window.left) * picture_px[0]
    down = (window.bottom - window.top) * picture_px[1]
    scale = min(room_mm[0] / across, room_mm[1] / down)
    return across * scale, down * scale


def printed_px(width_mm: float) -> int:
    """Pixels that a printed width can show at `PRINTED_DPI`."""
    return max(1, round(width_mm / MM_PER_INCH * PRINTED_DPI))


def _inside(middle: float, size: float) -> float:
    return min(max(middle - size / 2, 0.0), 1.0 - size)
