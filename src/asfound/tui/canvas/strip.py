"""A row of cells as Textual's compositor wants it, written to the terminal without a style object per cell.

Segments are built only when someone asks for them (an export, a filter). `plain_strip` is the same row by public
means, ten times slower.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from rich.color import Color as RichColor
from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from asfound.output.cells.ansi import as_shown, encode_row
from asfound.output.cells.blocks import Cells
from asfound.output.cells.colour import Colour
from asfound.tui.toolkit_insides import LateStrip

if TYPE_CHECKING:
    from rich.console import Console


class CellStrip(LateStrip):
    """One row of a `Cells` grid as a strip; what is not said here is as in `textual.strip.Strip`."""

    __slots__ = ["_cells", "_colour", "_row"]

    def __init__(self, cells: Cells, row: int, colour: Colour) -> None:
        super().__init__(cells.columns)
        self._cells = cells
        self._row = row
        self._colour = colour

    def build_segments(self) -> list[Segment]:
        return segments_of_row(self._cells, self._row, self._colour)

    def encode(self) -> str:
        return encode_row(self._cells, self._row, self._colour)

    @property
    def text(self) -> str:
        return self._cells.text(self._row)

    def render(self, console: Console) -> str:
        return self.encoded_once()

    def divide(self, cuts: Iterable[int]) -> Sequence[Strip]:
        ends = [cut for cut in cuts if cut <= self._cells.columns]
        if ends == [self._cells.columns]:
            return [self]
        parts: list[Strip] = []
        start = 0
        for end in ends:
            parts.append(self.crop(start, end))
            start = end
        return parts

    def crop(self, start: int, end: int | None = None) -> Strip:
        start = max(0, start)
        end = self._cells.columns if end is None else min(end, self._cells.columns)
        if (start, end) == (0, self._cells.columns):
            return self
        where = slice(self._row, self._row + 1), slice(start, end)
        part = Cells(self._cells.codes[where], self._cells.ink[where], self._cells.paper[where])
        return CellStrip(part, 0, self._colour)

    def apply_offsets(self, x: int, y: int) -> Strip:
        return self


def plain_strip(cells: Cells, row: int, colour: Colour) -> Strip:
    """One row of a grid of cells as an ordinary strip of the toolkit."""
    return Strip(segments_of_row(cells, row, colour), cells.columns)


def segments_of_row(cells: Cells, row: int, colour: Colour) -> list[Segment]:
    """One segment for each run of cells in the same two colours."""
    inks = as_shown(cells.ink[row], colour).tolist()
    papers = as_shown(cells.paper[row], colour).tolist()
    segments: list[Segment] = []
    text, last = "", None
    for character, ink, paper in zip(cells.text(row), inks, papers, strict=True):
        both = (tuple(ink), tuple(paper))
        if both != last and last is not None:
            segments.append(Segment(text, _style(*last)))
            text = ""
        text += character
        last = both
    if last is not None:
        segments.append(Segment(text, _style(*last)))
    return segments


@lru_cache(maxsize=16384)
def _style(ink: tuple[int, int, int], paper: tuple[int, int, int]) -> Style:
    return Style.from_color(RichColor.from_rgb(*ink), RichColor.from_rgb(*paper))
