"""What stands on a page: words, lines, boxes and pictures at their places, in millimetres from the top left corner.

A page says nothing of how it is written to a file; `output.paper` does that. So every sheet can be checked without one.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Protocol

from asfound.core.sheets.crops import Window

Ink = tuple[float, float, float]
"""Red, green and blue, each 0 to 1."""

BLACK: Ink = (0.0, 0.0, 0.0)
GREY: Ink = (0.35, 0.35, 0.35)
FAINT: Ink = (0.65, 0.65, 0.65)
WHITE: Ink = (1.0, 1.0, 1.0)


class Ruler(Protocol):
    """Measures words as they will be printed."""

    def width_mm(self, words: str, size_pt: float, *, bold: bool = False) -> float:
        """Width of words set in one line."""

    @property
    def capital_frac(self) -> float:
        """Height of a capital letter as a share of the size of the type."""


@dataclass(frozen=True, slots=True)
class Words:
    """One line of words; `y_mm` is the line that they stand on.

    Attributes
    ----------
    jump : str
        Name of the anchor that a click on them leads to; empty for none.
    """

    x_mm: float
    y_mm: float
    words: str
    size_pt: float
    bold: bool = False
    ink: Ink = BLACK
    jump: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line; with `dash_mm` it is broken."""

    x_mm: float
    y_mm: float
    to_x_mm: float
    to_y_mm: float
    width_mm: float = 0.2
    ink: Ink = BLACK
    dash_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Shape:
    """A closed outline through points, (x, y) in millimetres; `fill` and `ink` are None for none."""

    points_mm: tuple[tuple[float, float], ...]
    fill: Ink | None = None
    ink: Ink | None = BLACK
    width_mm: float = 0.2
    dash_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle; two of them, white below black, are seen on any picture."""

    x_mm: float
    y_mm: float
    radius_mm: float
    width_mm: float = 0.5
    ink: Ink = BLACK
    dash_mm: float = 0.0


@dataclass(frozen=True, slots=True)
class PictureMark:
    """A window of a picture, as large as it is printed; `y_mm` is its top.

    Attributes
    ----------
    instead : str
        What stands there when the picture's file cannot be read.
    """

    x_mm: float
    y_mm: float
    w_mm: float
    h_mm: float
    picture_id: int
    window: Window
    instead: str


Mark = Words | Line | Shape | Ring | PictureMark


@dataclass(frozen=True, slots=True)
class Page:
    """One side of paper.

    Attributes
    ----------
    marks : tuple
        In the order in which they are drawn.
    anchors : tuple of str
        Names by which other pages lead here.
    heading : str
        The section that begins here, for the list of contents beside the page; empty for none.
    """

    marks: tuple[Mark, ...]
    anchors: tuple[str, ...] = ()
    heading: str = ""


@dataclass(frozen=True, slots=True)
class Sheets:
    """Pages of one size with the title and the subject of the whole."""

    title: str
    width_mm: float
    height_mm: float
    pages: tuple[Page, ...]
    anchor_pages: dict[str, int] = field(default_factory=dict)
    """Anchor to the number of its page, the first one being 1."""


def rectangle(
    x_mm: float,
    y_mm: float,
    w_mm: float,
    h_mm: float,
    *,
    fill: Ink | None = None,
    ink: Ink | None = BLACK,
    width_mm: float = 0.2,
    dash_mm: float = 0.0,
) -> Shape:
    """An upright rectangle; (x, y) is its top left corner."""
    right, bottom = x_mm + w_mm, y_mm + h_mm
    corners = ((x_mm, y_mm), (right, y_mm), (right, bottom), (x_mm, bottom))
    return Shape(corners, fill, ink, width_mm, dash_mm)


def shifted(mark: Mark, x_mm: float, y_mm: float) -> Mark:
    """The mark moved by so many millimetres."""
    if isinstance(mark, Shape):
        return replace(mark, points_mm=tuple((x + x_mm, y + y_mm) for x, y in mark.points_mm))
    moved = replace(mark, x_mm=mark.x_mm + x_mm, y_mm=mark.y_mm + y_mm)
    if isinstance(moved, Line):
        return replace(moved, to_x_mm=moved.to_x_mm + x_mm, to_y_mm=moved.to_y_mm + y_mm)
    return moved
