"""Which part of a picture is seen through how many cells. Arithmetic only.

Positions are continuous source pixels of the upright full-size picture: (0, 0) is its top left corner and
(`picture_w`, `picture_h`) its bottom right one, so a pin's fraction times the size is its position.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

CLOSEST_PX_PER_COLUMN = 0.25
"""Closer than this every cell shows less than a quarter of a pixel, and nothing more can be seen."""

READING_SHARE = 1 / 210
"""At reading zoom one column covers this share of the picture's longer side: digits on tape can be read."""

ROUNDING_CELLS = 1e-9
"""What arithmetic may be off by: a pin on the very edge of a picture is in view."""


@dataclass(frozen=True, slots=True)
class View:
    """A picture seen through a grid of cells.

    Attributes
    ----------
    picture_w, picture_h : float
        Size of the picture in source pixels.
    centre_x, centre_y : float
        The source pixel in the middle of the grid.
    px_per_column : float
        Source pixels across one cell.
    columns, rows : int
        Size of the grid.
    aspect : float
        Height of a cell over its width.
    """

    picture_w: float
    picture_h: float
    centre_x: float
    centre_y: float
    px_per_column: float
    columns: int
    rows: int
    aspect: float = 2.0

    @classmethod
    def fit(cls, picture_w: float, picture_h: float, columns: int, rows: int, aspect: float = 2.0) -> View:
        """The whole picture, as large as the grid allows, centred."""
        columns, rows = max(1, columns), max(1, rows)
        scale = max(picture_w / columns, picture_h / (rows * aspect))
        return cls(picture_w, picture_h, picture_w / 2, picture_h / 2, scale, columns, rows, aspect)

    @property
    def px_per_row(self) -> float:
        return self.px_per_column * self.aspect

    @property
    def left(self) -> float:
        """Source x at the left edge of the grid."""
        return self.centre_x - self.columns * self.px_per_column / 2

    @property
    def top(self) -> float:
        """Source y at the top edge of the grid."""
        return self.centre_y - self.rows * self.px_per_row / 2

    @property
    def fit_px_per_column(self) -> float:
        return max(self.picture_w / self.columns, self.picture_h / (self.rows * self.aspect))

    @property
    def is_fit(self) -> bool:
        return self.px_per_column >= self.fit_px_per_column * (1 - 1e-9)

    @property
    def magnification(self) -> float:
        """How much larger than the whole-picture view things are drawn; 1 when the whole picture is seen."""
        return self.fit_px_per_column / self.px_per_column

    def px_at(self, column: int, row: int) -> tuple[float, float]:
        """The source pixel at the middle of a cell."""
        return self.left + (column + 0.5) * self.px_per_column, self.top + (row + 0.5) * self.px_per_row

    def cell_at(self, x: float, y: float) -> tuple[int, int]:
        """The cell that a source pixel falls in; it may lie outside the grid."""
        column, row = (x - self.left) / self.px_per_column, (y - self.top) / self.px_per_row
        return math.floor(column + ROUNDING_CELLS), math.floor(row + ROUNDING_CELLS)

    def holds_cell(self, column: int, row: int) -> bool:
        return 0 <= column < self.columns and 0 <= row < self.rows

    def clamp(self) -> View:
        """The nearest view that is neither closer nor wider than allowed and shows as little beside the picture."""
        widest = self.fit_px_per_column
        scale = min(max(self.px_per_column, min(CLOSEST_PX_PER_COLUMN, widest)), widest)
        half_w = self.columns * scale / 2
        half_h = self.rows * scale * self.aspect / 2
        return replace(
            self,
            px_per_column=scale,
            centre_x=_clamp_centre(self.centre_x, half_w, self.picture_w),
            centre_y=_clamp_centre(self.centre_y, half_h, self.picture_h),
        )

    def zoom(self, factor: float, x: float, y: float) -> View:
        """Draw things `factor` times larger; the source pixel (x, y) stays in its place on screen if that is allowed.

        The result is clamped, so at the edges of the picture the place on screen can shift.
        """
        widest = self.fit_px_per_column
        scale = min(max(self.px_per_column / factor, min(CLOSEST_PX_PER_COLUMN, widest)), widest)
        ratio = scale / self.px_per_column
        moved = replace(
            self,
            px_per_column=scale,
            centre_x=x + (self.centre_x - x) * ratio,
            centre_y=y + (self.centre_y - y) * ratio,
        )
        return moved.clamp()

    def pan(self, columns: float, rows: float) -> View:
        """Move the window over the picture by cells; positive goes right and down."""
        return replace(
            self,
            centre_x=self.centre_x + columns * self.px_per_column,
            centre_y=self.centre_y + rows * self.px_per_row,
        ).clamp()

    def follow(self, x: float, y: float, margin: int = 3) -> View:
        """Pan as little as needed to keep a source pixel `margin` cells inside the grid."""
        column, row = self.cell_at(x, y)
        margin_x, margin_y = min(margin * 2, (self.columns - 1) // 2), min(margin, (self.rows - 1) // 2)
        across = min(0, column - margin_x) + max(0, column - (self.columns - 1 - margin_x))
        down = min(0, row - margin_y) + max(0, row - (self.rows - 1 - margin_y))
        return self.pan(across, down) if across or down else self

    def centred(self, x: float, y: float, px_per_column: float | None = None) -> View:
        """A source pixel in the middle of the grid, at a new scale when one is given."""
        scale = self.px_per_column if px_per_column is None else px_per_column
        return replace(self, centre_x=x, centre_y=y, px_per_column=scale).clamp()

    def reading(self, x: float, y: float) -> View:
        """Close enough at (x, y) to read a number on tape, and still wide enough to see where it is."""
        return self.centred(x, y, max(self.picture_w, self.picture_h) * READING_SHARE)

    def resized(self, columns: int, rows: int, aspect: float | None = None) -> View:
        """The view with the same middle through another grid; a whole-picture view stays one."""
        columns, rows = max(1, columns), max(1, rows)
        aspect = self.aspect if aspect is None else aspect
        if self.is_fit:
            return View.fit(self.picture_w, self.picture_h, columns, rows, aspect)
        return replace(self, columns=columns, rows=rows, aspect=aspect).clamp()

    def for_picture(self, picture_w: float, picture_h: float) -> View:
        """The view of the same share of another picture, for flipping between two pictures of one spot."""
        if self.is_fit:
            return View.fit(picture_w, picture_h, self.columns, self.rows, self.aspect)
        across, down = picture_w / self.picture_w, picture_h / self.picture_h
        return replace(
            self,
            picture_w=picture_w,
            picture_h=picture_h,
            centre_x=self.centre_x * across,
            centre_y=self.centre_y * down,
            px_per_column=self.px_per_column * max(across, down),
        ).clamp()


def _clamp_centre(centre: float, half: float, size: float) -> float:
    if half * 2 >= size:
        return size / 2
    return min(max(centre, half), size - half)
