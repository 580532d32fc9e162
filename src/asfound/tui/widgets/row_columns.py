"""The columns of a list, and how the width of the list is shared among them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from asfound.tui.words import fit_words, width_of

GAP = 2
"""Cells between two columns."""


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a list.

    Attributes
    ----------
    title : str
    least : int
        The width in cells that it gets in any case, as far as its text fills it.
    share : int
        Its part of the width left over, up to its longest text; 0 keeps it at `least`.
    from_width : int
        Width of the list from which it is shown at all.
    is_fixed : bool
        Has its least width whatever stands in it.
    """

    title: str
    least: int
    share: int = 0
    from_width: int = 0
    is_fixed: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One row: what it stands for, and its text for every column."""

    key: object
    cells: tuple[str, ...]

    def holds(self, words: str) -> bool:
        """Whether every word stands in the row, capitals apart."""
        text = " ".join(self.cells).casefold()
        return all(word in text for word in words.casefold().split())


def longest_texts(columns: Sequence[Column], rows: Sequence[Row]) -> list[int]:
    """Cells of the longest text of each column."""
    return [max((width_of(row.cells[place]) for row in rows), default=0) for place in range(len(columns))]


def share_widths(columns: Sequence[Column], longest: Sequence[int], from_width: int, room: int) -> list[int]:
    """Width of each column; 0 for one that is not shown, or that nothing stands in.

    No column is wider than its longest text, so that a row is read without crossing empty space; what one does not
    need goes to those that are cut.

    Parameters
    ----------
    longest : sequence of int
        Cells of the longest text of each column.
    from_width : int
        Width of the list, by which a column is shown or left out.
    room : int
        Cells for all columns and the gaps between them.
    """
    most = [
        column.least
        if column.is_fixed
        else max(text, width_of(column.title))
        if text and column.from_width <= from_width
        else 0
        for column, text in zip(columns, longest, strict=True)
    ]
    widths = [min(column.least, wide) for column, wide in zip(columns, most, strict=True)]
    left = room - sum(widths) - GAP * (sum(map(bool, most)) - 1)
    while left < 0 and max(widths, default=0) > 1:
        widths[widths.index(max(widths))] -= 1
        left += 1
    while left > 0:
        growing = [place for place, one in enumerate(columns) if one.share and widths[place] < most[place]]
        shares = sum(columns[place].share for place in growing)
        if not growing:
            break
        for place in growing:
            given = min(max(1, left * columns[place].share // shares), most[place] - widths[place], left)
            widths[place] += given
            left -= given
            shares -= columns[place].share
    return widths


def lay_out(cells: Sequence[str], widths: Sequence[int], room: int) -> str:
    """The texts of a row in columns of these widths, in all `room` cells."""
    parts = [fit_words(cell, wide) for cell, wide in zip(cells, widths, strict=True) if wide]
    return fit_words((" " * GAP).join(parts), room)
