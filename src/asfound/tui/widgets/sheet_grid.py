"""How pictures lie on a contact sheet: how many in a row, how large, and which rows are in sight."""

from __future__ import annotations

from dataclasses import dataclass

LEAST_TILE = 24
"""Columns below which a picture is too small to be made out."""
HEIGHT_OF_WIDTH = 0.75
"""Height of a picture over its width, for the room it is given; what is taller or wider is drawn smaller in it."""


@dataclass(frozen=True, slots=True)
class SheetGrid:
    """A sheet of `columns` x `rows` cells with `count` pictures on it, each with a line of words below.

    `aspect` is the height of a cell over its width.
    """

    columns: int
    rows: int
    count: int
    aspect: float

    @property
    def across(self) -> int:
        """Pictures in one row: as few as show every picture at once, so that they are as large as may be."""
        most = max(1, self.columns // LEAST_TILE)
        for across in range(1, most):
            if -(-self.count // across) * self._rows_of_tile(across) <= self.rows:
                return across
        return most

    def _rows_of_tile(self, across: int) -> int:
        """Rows of a tile, its line of words included, when `across` stand in one row."""
        return max(3, round((self.columns // across - 2) * HEIGHT_OF_WIDTH / self.aspect) + 1)

    @property
    def tile_columns(self) -> int:
        """Columns of a picture, with one for its frame at either side."""
        return max(1, self.columns // self.across)

    @property
    def tile_rows(self) -> int:
        """Rows of a picture, its line of words included."""
        return min(self._rows_of_tile(self.across), max(3, self.rows))

    @property
    def rows_shown(self) -> int:
        """Rows of pictures that are seen whole."""
        return max(1, self.rows // self.tile_rows)

    def top_row_for(self, index: int, top_row: int) -> int:
        """The first row of pictures to show so that this picture is seen; `top_row` where it is seen already."""
        row = index // self.across
        return min(max(top_row, row - self.rows_shown + 1), row)

    def visible(self, top_row: int) -> range:
        """The places of the pictures that are seen, the last of them perhaps in part."""
        rows = -(-self.rows // self.tile_rows) if self.rows else 1
        first = top_row * self.across
        return range(min(first, self.count), min(first + rows * self.across, self.count))

    def corner_of(self, index: int, top_row: int) -> tuple[int, int]:
        """Column and row of a picture's upper left cell."""
        place = index - top_row * self.across
        return place % self.across * self.tile_columns, place // self.across * self.tile_rows

    def index_at(self, column: int, row: int, top_row: int) -> int | None:
        """The place of the picture that lies at a cell; None where none does."""
        across, down = column // self.tile_columns, row // self.tile_rows
        index = (top_row + down) * self.across + across
        return index if across < self.across and index < self.count else None

    def hidden(self, top_row: int) -> tuple[int, int]:
        """How many pictures are out of sight, above and below."""
        return top_row * self.across, max(0, self.count - (top_row + self.rows_shown) * self.across)
