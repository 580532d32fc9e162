"""What is printed on labels, and the paper they are on."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from asfound.core.sheets.measures import PAPERS_MM
from asfound.errors import Misused
from asfound.model.tags import EndLetter

Bits = tuple[tuple[bool, ...], ...]
"""Cells of a printed marker without its white edge, row by row; true is black."""

LabelShape = Literal["sticker", "flag", "band"]


@dataclass(frozen=True, slots=True)
class TagLabel:
    """One end of a thing.

    Attributes
    ----------
    end : {"A", "B"} or None
        None for a thing with one end.
    name : str
        What the thing is; empty while nobody said it.
    has_bar : bool
        Whether the number can be read upside down, so that a bar goes under it.
    marker : Bits or None
        None for a number that has no printed marker.
    """

    number: str
    end: EndLetter | None
    name: str = ""
    has_bar: bool = False
    marker: Bits | None = None

    @property
    def big(self) -> str:
        """What is read from afar: "17A"."""
        return f"{self.number}{self.end or ''}"


@dataclass(frozen=True, slots=True)
class BagLabel:
    """A bag: its label, what it is for, what is in it, how many pieces, where it lies."""

    label: str
    lines: tuple[str, ...]

    @property
    def big(self) -> str:
        """What is read from afar: "B4"."""
        return self.label


@dataclass(frozen=True, slots=True)
class BeltLabel:
    """A belt, with an arrow that shows which way it runs when the label sits as it says."""

    number: str
    lines: tuple[str, ...]

    @property
    def big(self) -> str:
        """What is read from afar: "43"."""
        return self.number


Label = TagLabel | BagLabel | BeltLabel


@dataclass(frozen=True, slots=True)
class Grid:
    """A sheet of stickers that are cut already, in millimetres.

    Attributes
    ----------
    left_mm, top_mm : float
        From the paper's edges to the first sticker.
    across_mm, down_mm : float
        Bare paper between two stickers.
    """

    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    across_mm: float = 0.0
    down_mm: float = 0.0

    @property
    def count(self) -> int:
        """Stickers on one sheet."""
        return self.columns * self.rows

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Top left corner of a sticker; 0 is the first, then along the row."""
        row, column = divmod(place, self.columns)
        return (
            self.left_mm + column * (self.width_mm + self.across_mm),
            self.top_mm + row * (self.height_mm + self.down_mm),
        )

    def check_on(self, paper: str) -> None:
        """`Misused` if the stickers reach over the paper's edge or have no size."""
        wide, high = PAPERS_MM[paper]
        right, bottom = self.corner_mm(self.count - 1)
        over = max(right + self.width_mm - wide, bottom + self.height_mm - high)
        if over > 0.05:
            raise Misused(
                f"{self.columns} x {self.rows} labels of {self.width_mm:g} x {self.height_mm:g} mm reach {over:.1f} mm "
                f"over the edge of {paper}: measure the sheet again, or take fewer."
            )
        sizes = (self.width_mm, self.height_mm, self.columns, self.rows)
        if min(sizes) <= 0 or min(self.left_mm, self.top_mm, self.across_mm, self.down_mm) < 0:
            raise Misused("A sheet of labels needs at least one row and one column, and no size below 0.")


GRIDS: dict[str, dict[str, Grid]] = {
    "A4": {
        "3x7": Grid(3, 7, 63.5, 38.1, 7.25, 15.15, 2.5),
        "5x13": Grid(5, 13, 38.1, 21.2, 4.75, 10.7, 2.5),
    },
    "Letter": {"3x10": Grid(3, 10, 66.7, 25.4, 4.8, 12.7, 3.1)},
}
"""Common sheets by columns x rows: sizes by common practice, edges from centring the labels on the paper."""

_SHEET = re.compile(r"(\d{1,2})\s*[x×*]\s*(\d{1,2})", re.IGNORECASE)


def grid_on(
    paper: str,
    sheet: str = "",
    *,
    label_mm: tuple[float, float] | None = None,
    edge_mm: tuple[float, float] | None = None,
    between_mm: tuple[float, float] = (0.0, 0.0),
) -> Grid:
    """A common sheet by its columns and rows, or one by its sizes.

    Parameters
    ----------
    sheet : str
        "3x7": columns x rows; empty for the first common one of the paper.
    label_mm : (float, float) or None
        Width and height of one label; None takes those of the common sheet.
    edge_mm : (float, float) or None
        Left and top; None centres the labels on the paper.
    between_mm : (float, float)
        Bare paper between two labels, across and down.

    Raises
    ------
    Misused
        If there is no such sheet, or it does not fit on the paper.
    """
    known = GRIDS[paper]
    if label_mm is None:
        grid = known.get(sheet.lower().replace(" ", "")) if sheet else next(iter(known.values()))
        if grid is None:
            raise Misused(
                f"{sheet} is no common sheet on {paper}: take {' or '.join(known)}, or say the size of one label "
                "with --label 63.5x38.1."
            )
        return grid
    counted = _SHEET.fullmatch(sheet.strip())
    if counted is None:
        raise Misused("Say how many labels the sheet has, columns x rows: --sheet 3x7.")
    columns, rows = int(counted[1]), int(counted[2])
    wide, high = PAPERS_MM[paper]
    taken = columns * label_mm[0] + (columns - 1) * between_mm[0], rows * label_mm[1] + (rows - 1) * between_mm[1]
    left, top = edge_mm if edge_mm is not None else ((wide - taken[0]) / 2, (high - taken[1]) / 2)
    grid = Grid(columns, rows, *label_mm, left, top, *between_mm)
    grid.check_on(paper)
    return grid


@dataclass(frozen=True, slots=True)
class LabelOrder:
    """Labels, and how they are to be printed.

    Attributes
    ----------
    shape : {"sticker", "flag", "band"}
        A flag goes round the cable and its two halves are stuck together; a band goes round it and over itself.
    tape_mm : float or None
        Height of the tape of a label printer, one label a page; None for sheets of paper.
    nudge_mm : (float, float)
        Right and down, for a printer that is off.
    skip : int
        Stickers of the first sheet that are used already.
    frames : bool
        Whether a thin line is drawn round each sticker, to cut along or to try a sheet on plain paper.
    """

    title: str
    labels: tuple[Label, ...]
    shape: LabelShape = "sticker"
    grid: Grid | None = None
    tape_mm: float | None = None
    cable_mm: float = 8.0
    flag_mm: float = 25.0
    height_mm: float = 14.0
    nudge_mm: tuple[float, float] = (0.0, 0.0)
    skip: int = 0
    frames: bool = False
