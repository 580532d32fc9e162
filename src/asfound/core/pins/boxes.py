"""Boxes on pictures: around a pin, in the two written forms, and as a window to cut out.

All fractions are of the picture as displayed (Orientation applied), origin top left. A pin is kept as a centre; the
commands and IPTC image regions speak of top-left corners; MWG areas of centres.
"""

from __future__ import annotations

from dataclasses import dataclass

POINT_SHARE = 0.08
"""Side of the box drawn around a point pin, as a share of the picture's shorter side: a taped flag at arm's length."""


@dataclass(frozen=True, slots=True)
class CentredBox:
    """A box by its centre, in fractions: how pins are kept, and the MWG area form."""

    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float


@dataclass(frozen=True, slots=True)
class CornerBox:
    """A box by its top-left corner, in fractions: the IPTC region form, and that of a comparison's differences."""

    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float


def centred(box: CornerBox) -> CentredBox:
    """Turn the top-left form into the centre form (IPTC to MWG)."""
    return CentredBox(box.x_frac + box.w_frac / 2, box.y_frac + box.h_frac / 2, box.w_frac, box.h_frac)


def cornered(box: CentredBox) -> CornerBox:
    """Turn the centre form into the top-left form (MWG to IPTC).

    References
    ----------
    MWG, Guidelines for Handling Image Metadata 2.0, 2010, section 5.9: x and y of an area are its centre.
    IPTC Photo Metadata Standard 2019.1, region boundary: x and y of a rectangle are its top-left corner.
    """
    return CornerBox(box.x_frac - box.w_frac / 2, box.y_frac - box.h_frac / 2, box.w_frac, box.h_frac)


def from_pixels(box_px: tuple[float, float, float, float], size_px: tuple[int, int]) -> CornerBox:
    """Turn left, top, width, height in pixels into fractions of a picture of `size_px` (width, height)."""
    left, top, width, height = box_px
    return CornerBox(left / size_px[0], top / size_px[1], width / size_px[0], height / size_px[1])


def to_pixels(box: CornerBox, size_px: tuple[int, int]) -> tuple[float, float, float, float]:
    """Turn fractions into left, top, width, height in pixels, not rounded."""
    return box.x_frac * size_px[0], box.y_frac * size_px[1], box.w_frac * size_px[0], box.h_frac * size_px[1]


def turned_clockwise(box: CentredBox, quarter_turns: int = 1) -> CentredBox:
    """Follow a box when its picture is turned clockwise by quarter turns; negative turns it back."""
    for _ in range(quarter_turns % 4):
        box = CentredBox(1 - box.y_frac, box.x_frac, box.h_frac, box.w_frac)
    return box


def clipped(box: CornerBox) -> CornerBox:
    """Keep the part of a box that lies on the picture; nothing of it left gives a size of 0 at the nearest edge."""
    left, top = _within(box.x_frac), _within(box.y_frac)
    right, bottom = _within(box.x_frac + box.w_frac), _within(box.y_frac + box.h_frac)
    return CornerBox(left, top, right - left, bottom - top)


def box_around_pin(
    pin_frac: tuple[float, float],
    size_px: tuple[int, int],
    *,
    box_frac: tuple[float | None, float | None] = (None, None),
    share: float = POINT_SHARE,
) -> CornerBox:
    """Find the box to draw, or to read, around a pin.

    Parameters
    ----------
    pin_frac : (float, float)
        The point, or the centre of the pin's own box. A pin outside the picture is moved to its nearest edge.
    size_px : (int, int)
        Width and height of the picture.
    box_frac : (float or None, float or None)
        The pin's own box; None for a point, which gets a square (in pixels) box.
    share : float
        Side of that square as a share of the picture's shorter side.

    Returns
    -------
    CornerBox
        Clipped to the picture.
    """
    side_px = share * min(size_px)
    width = box_frac[0] if box_frac[0] is not None else side_px / size_px[0]
    height = box_frac[1] if box_frac[1] is not None else side_px / size_px[1]
    return clipped(cornered(CentredBox(_within(pin_frac[0]), _within(pin_frac[1]), width, height)))


def _within(frac: float) -> float:
    return min(1.0, max(0.0, frac))
