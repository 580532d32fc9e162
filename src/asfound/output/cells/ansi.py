"""Rows of cells to terminal text, in the colours that the terminal has."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from asfound.output.cells.blocks import Cells
from asfound.output.cells.colour import Colour

RESET = "\x1b[0m"
_SHADE_INKS = ("30", "90", "37", "97")
_SHADE_PAPERS = ("40", "100", "47", "107")
_CUBE = (0, 95, 135, 175, 215, 255)


def encode_row(cells: Cells, row: int, colour: Colour = Colour.TRUE) -> str:
    """One row as text with colour sequences, ending with a reset."""
    return _encode(cells.codes[row], _numbers(cells.ink[row], colour), _numbers(cells.paper[row], colour), colour)


def encode_rows(cells: Cells, colour: Colour = Colour.TRUE) -> list[str]:
    """Every row as text with colour sequences, each ending with a reset."""
    inks, papers = _numbers(cells.ink, colour), _numbers(cells.paper, colour)
    return [_encode(cells.codes[row], inks[row], papers[row], colour) for row in range(cells.rows)]


def as_shown(colours: NDArray[np.uint8], colour: Colour) -> NDArray[np.uint8]:
    """The RGB values that a terminal shows for these when it is given `colour`; for exports and plain strips."""
    if colour is Colour.TRUE:
        return colours
    if colour is Colour.PALETTE:
        return _palette_rgb()[_numbers(colours, colour)]
    levels = _luma(colours).astype(np.uint8) if colour is Colour.GREY else _numbers(colours, colour) * 85
    return np.repeat(levels.astype(np.uint8)[..., None], 3, axis=-1)


def _encode(codes: NDArray[np.uint32], inks: NDArray[np.int64], papers: NDArray[np.int64], colour: Colour) -> str:
    parts: list[str] = []
    last_ink = last_paper = -1
    for code, ink, paper in zip(codes.tolist(), inks.tolist(), papers.tolist(), strict=True):
        if code == 32:
            if paper != last_paper:
                parts.append(f"\x1b[{_paper(paper, colour)}m")
                last_paper = paper
            parts.append(" ")
            continue
        if ink != last_ink:
            if paper != last_paper:
                parts.append(f"\x1b[{_ink(ink, colour)};{_paper(paper, colour)}m")
                last_paper = paper
            else:
                parts.append(f"\x1b[{_ink(ink, colour)}m")
            last_ink = ink
        elif paper != last_paper:
            parts.append(f"\x1b[{_paper(paper, colour)}m")
            last_paper = paper
        parts.append(chr(code))
    parts.append(RESET)
    return "".join(parts)


@lru_cache(maxsize=65536)
def _ink(number: int, colour: Colour) -> str:
    if colour is Colour.TRUE:
        return f"38;2;{number >> 16};{number >> 8 & 255};{number & 255}"
    if colour is Colour.SHADES:
        return _SHADE_INKS[number]
    return f"38;5;{number}"


@lru_cache(maxsize=65536)
def _paper(number: int, colour: Colour) -> str:
    if colour is Colour.TRUE:
        return f"48;2;{number >> 16};{number >> 8 & 255};{number & 255}"
    if colour is Colour.SHADES:
        return _SHADE_PAPERS[number]
    return f"48;5;{number}"


def _numbers(colours: NDArray[np.uint8], colour: Colour) -> NDArray[np.int64]:
    """One number for each colour, as its sequence needs it."""
    if colour is Colour.TRUE:
        wide = colours.astype(np.int64)
        return np.asarray(wide[..., 0] << 16 | wide[..., 1] << 8 | wide[..., 2], dtype=np.int64)
    if colour is Colour.PALETTE:
        fifth = colours >> 3
        return np.asarray(_palette_table()[fifth[..., 0], fifth[..., 1], fifth[..., 2]], dtype=np.int64)
    luma = _luma(colours)
    if colour is Colour.SHADES:
        return np.asarray(np.clip(np.round(luma / 85), 0, 3), dtype=np.int64)
    return _grey_table()[np.round(luma).astype(np.int64)]


def _luma(colours: NDArray[np.uint8]) -> NDArray[np.float64]:
    return np.asarray(colours @ np.array([0.299, 0.587, 0.114]), dtype=np.float64)


@lru_cache(maxsize=1)
def _palette_rgb() -> NDArray[np.uint8]:
    """The 256 colours of xterm's palette; the first 16, which a person can change, are left black."""
    table = np.zeros((256, 3), dtype=np.uint8)
    steps = [(red, green, blue) for red in _CUBE for green in _CUBE for blue in _CUBE]
    table[16:232] = steps
    table[232:256] = (8 + 10 * np.arange(24))[:, None]
    return table


@lru_cache(maxsize=1)
def _palette_table() -> NDArray[np.int64]:
    """Nearest palette colour for each colour of 5 bits a channel, shape (32, 32, 32)."""
    middle = (np.arange(32) * 8 + 4).astype(np.float32)
    red, green, blue = np.meshgrid(middle, middle, middle, indexing="ij")
    wanted = np.stack([red, green, blue], axis=-1).reshape(-1, 3)
    known = _palette_rgb()[16:].astype(np.float32)
    distance = (wanted**2).sum(axis=1)[:, None] - 2 * wanted @ known.T + (known**2).sum(axis=1)[None]
    return np.asarray(distance.argmin(axis=1) + 16, dtype=np.int64).reshape(32, 32, 32)


@lru_cache(maxsize=1)
def _grey_table() -> NDArray[np.int64]:
    """Nearest palette grey for each lightness, 0 to 255."""
    numbers = np.array([16, *range(232, 256), 231])
    levels = np.array([0, *(8 + 10 * step for step in range(24)), 255])
    return np.asarray(numbers[np.abs(np.arange(256)[:, None] - levels[None]).argmin(axis=1)], dtype=np.int64)
