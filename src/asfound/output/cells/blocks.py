"""Pixels to character cells: each cell gets one character and two colours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from asfound.output.cells.pyramid import RGBImage
from asfound.output.cells.wide import TAIL, in_cells, is_wide

QUADRANTS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
"""Character for each set of inked quarters: bit 0 top left, 1 top right, 2 bottom left, 3 bottom right."""

HALF = "▀"


def _sextants() -> str:
    """Character for each set of inked sixths, bits in reading order.

    The block of sextants (Unicode 13, from U+1FB00) leaves out the sets that are characters of their own already:
    nothing, the left half, the right half, all.
    """
    own = {0: " ", 0b010101: "▌", 0b101010: "▐", 0b111111: "█"}
    left_out = sorted(own)
    return "".join(own.get(bits) or chr(0x1FB00 + bits - sum(one <= bits for one in left_out)) for bits in range(64))


SEXTANTS = _sextants()


def _splits(parts: int) -> NDArray[np.float32]:
    """One of each pair of complementary ways to split the parts of a cell in two, the undivided one left out."""
    return np.array([[(index >> bit) & 1 for bit in range(parts)] for index in range(1, 2 ** (parts - 1))], np.float32)


_QUADRANT_CODES = np.array([ord(character) for character in QUADRANTS], dtype=np.uint32)
_SEXTANT_CODES = np.array([ord(character) for character in SEXTANTS], dtype=np.uint32)
_QUADRANT_SPLITS, _SEXTANT_SPLITS = _splits(4), _splits(6)


@dataclass(eq=False)
class Cells:
    """A grid of character cells.

    Attributes
    ----------
    codes : ndarray of shape (rows, columns), uint32
        Unicode code points.
    ink, paper : ndarray of shape (rows, columns, 3), uint8
        Colours of the character and of what is behind it.
    """

    codes: NDArray[np.uint32]
    ink: NDArray[np.uint8]
    paper: NDArray[np.uint8]

    @classmethod
    def blank(cls, columns: int, rows: int, paper: tuple[int, int, int] = (22, 22, 22)) -> Cells:
        codes = np.full((rows, columns), ord(" "), dtype=np.uint32)
        ink = np.full((rows, columns, 3), 210, dtype=np.uint8)
        behind = np.empty((rows, columns, 3), dtype=np.uint8)
        behind[:] = paper
        return cls(codes, ink, behind)

    @property
    def columns(self) -> int:
        return int(self.codes.shape[1])

    @property
    def rows(self) -> int:
        return int(self.codes.shape[0])

    def text(self, row: int) -> str:
        return "".join(map(chr, self.codes[row].tolist()))

    def paste(self, other: Cells, column: int, row: int) -> None:
        """Lay another grid over this one; what would stick out is cut off."""
        rows = min(other.rows, self.rows - row)
        columns = min(other.columns, self.columns - column)
        if rows <= 0 or columns <= 0:
            return
        where = slice(row, row + rows), slice(column, column + columns)
        self.codes[where] = other.codes[:rows, :columns]
        self.ink[where] = other.ink[:rows, :columns]
        self.paper[where] = other.paper[:rows, :columns]

    def write(
        self,
        column: int,
        row: int,
        text: str,
        ink: tuple[int, int, int],
        paper: tuple[int, int, int] | None = None,
    ) -> None:
        """Write text into a row; what would stick out is cut off. A wide letter takes two cells, `TAIL` the second."""
        if not 0 <= row < self.rows:
            return
        skip = max(0, -column)
        text = in_cells(text)[skip : skip + max(0, self.columns - max(0, column))]
        if not text:
            return
        start = max(0, column)
        where = slice(start, start + len(text))
        # Of a wide letter no half is left, in what is written and in what was there.
        text = (" " if text[0] == TAIL else text[0]) + text[1:]
        text = text[:-1] + (" " if is_wide(text[-1]) else text[-1])
        if self.codes[row, start] == ord(TAIL):
            self.codes[row, start - 1] = ord(" ")
        if where.stop < self.columns and self.codes[row, where.stop] == ord(TAIL):
            self.codes[row, where.stop] = ord(" ")
        self.codes[row, where] = [ord(character) for character in text]
        self.ink[row, where] = ink
        if paper is not None:
            self.paper[row, where] = paper


def fit_quadrants(pixels_rgb: RGBImage, flat: float = 18.0) -> Cells:
    """Fit two colours and a split into quarters to each block of 2 x 2 pixels.

    Of all eight splits the one with the least squared error is taken; each side gets its mean colour.

    Parameters
    ----------
    pixels_rgb : ndarray of shape (2 * rows, 2 * columns, 3), uint8
    flat : float
        A cell whose split would gain less than this mean squared error is drawn in one colour, which costs fewer bytes.
    """
    return _fit(pixels_rgb, 2, _QUADRANT_SPLITS, _QUADRANT_CODES, flat)


def fit_sextants(pixels_rgb: RGBImage, flat: float = 18.0) -> Cells:
    """Blocks of 2 x 3 pixels as sextants, the best of 32 splits each; only for terminals that draw these characters.

    Parameters
    ----------
    pixels_rgb : ndarray of shape (3 * rows, 2 * columns, 3), uint8
    """
    return _fit(pixels_rgb, 3, _SEXTANT_SPLITS, _SEXTANT_CODES, flat)


def _fit(pixels_rgb: RGBImage, down: int, splits: NDArray[np.float32], codes: NDArray[np.uint32], flat: float) -> Cells:
    height, width = pixels_rgb.shape[:2]
    rows, columns, parts = height // down, width // 2, 2 * down
    blocks = (
        pixels_rgb[: rows * down, : columns * 2]
        .reshape(rows, down, columns, 2, 3)
        .transpose(0, 2, 1, 3, 4)
        .reshape(rows * columns, parts, 3)
        .astype(np.float32)
    )
    total = blocks.sum(axis=1)
    inked = np.einsum("sq,nqc->snc", splits, blocks, optimize=True)
    count = splits.sum(axis=1)[:, None]
    score = (inked**2).sum(axis=2) / count + ((total[None] - inked) ** 2).sum(axis=2) / (parts - count)
    best = score.argmax(axis=0)
    every = np.arange(best.size)
    gain = (score[best, every] - (total**2).sum(axis=1) / parts) / parts
    side = inked[best, every]
    number = count[best, 0][:, None]
    ink = side / number
    paper = (total - side) / (parts - number)
    one = gain < flat
    mean = total[one] / parts
    ink[one] = mean
    paper[one] = mean
    drawn = codes[best + 1]
    drawn[one] = ord(" ")
    return Cells(
        drawn.reshape(rows, columns),
        np.round(ink).astype(np.uint8).reshape(rows, columns, 3),
        np.round(paper).astype(np.uint8).reshape(rows, columns, 3),
    )


def fit_halves(pixels_rgb: RGBImage) -> Cells:
    """Two pixels, one above the other, to a cell: exact colours, half the detail across.

    Parameters
    ----------
    pixels_rgb : ndarray of shape (2 * rows, columns, 3), uint8
    """
    rows = pixels_rgb.shape[0] // 2
    top, bottom = pixels_rgb[0 : 2 * rows : 2], pixels_rgb[1 : 2 * rows : 2]
    codes = np.full(top.shape[:2], ord(HALF), dtype=np.uint32)
    codes[(top == bottom).all(axis=2)] = ord(" ")
    return Cells(codes, top.copy(), bottom.copy())
