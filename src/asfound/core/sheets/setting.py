"""Setting type: how large letters are for the distance they are read from, and breaking words into lines."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property

from asfound.core.sheets.marks import Ruler
from asfound.core.sheets.measures import POINTS_PER_MM, letter_height_mm

_SPACES = re.compile(r"[^\S\u00a0\u202f]+")

LEADING = 1.28
"""Height of a line as a share of the size of its type (common practice)."""


@dataclass(frozen=True)
class Setting:
    """Sizes of type for one ruler, each from the distance it is read from, by NUREG-0700 11.4.1.5-1.

    Attributes
    ----------
    ruler : Ruler
        Measures words as the font of the file sets them.
    """

    ruler: Ruler

    @cached_property
    def number_pt(self) -> float:
        """Tag numbers: read from the far side of the engine, 1.3 m; never below 24 points."""
        return max(24.0, self._size_pt(1300))

    @cached_property
    def title_pt(self) -> float:
        """Headings and names: read at arm's length, 700 mm."""
        return self._size_pt(700)

    @cached_property
    def body_pt(self) -> float:
        """Everything else: the book in the hand, 400 mm."""
        return self._size_pt(400)

    @cached_property
    def small_pt(self) -> float:
        """The foot and what stands under pictures: the book in the hand, and the least that is still read."""
        return letter_height_mm(450, "least") / self.ruler.capital_frac * POINTS_PER_MM

    def line_mm(self, size_pt: float) -> float:
        """Height of a line of type."""
        return size_pt * LEADING / POINTS_PER_MM

    def base_mm(self, size_pt: float) -> float:
        """From the top of a line to what its letters stand on, so that capitals are in the line's middle."""
        capital_mm = size_pt * self.ruler.capital_frac / POINTS_PER_MM
        return (self.line_mm(size_pt) + capital_mm) / 2

    def width_mm(self, words: str, size_pt: float, *, bold: bool = False) -> float:
        """Width of words set in one line."""
        return self.ruler.width_mm(words, size_pt, bold=bold)

    def wrap(self, text: str, room_mm: float, size_pt: float, *, bold: bool = False) -> list[str]:
        """Break a text into lines that fit; a word wider than the room is cut where it must be. Never empty.

        A no-break space holds two words together.
        """
        lines = [""]
        for word in _SPACES.split(text.strip()):
            longer = f"{lines[-1]} {word}".strip()
            if self.width_mm(longer, size_pt, bold=bold) <= room_mm:
                lines[-1] = longer
                continue
            pieces = self._pieces(word, room_mm, size_pt, bold=bold)
            lines += pieces if lines[-1] else []
            if not lines[0]:
                lines = pieces
        return lines

    def _pieces(self, word: str, room_mm: float, size_pt: float, *, bold: bool) -> list[str]:
        """A word in pieces that fit, at least one character each."""
        pieces = [""]
        for character in word:
            if pieces[-1] and self.width_mm(pieces[-1] + character, size_pt, bold=bold) > room_mm:
                pieces.append("")
            pieces[-1] += character
        return pieces

    def _size_pt(self, distance_mm: float) -> float:
        return letter_height_mm(distance_mm) / self.ruler.capital_frac * POINTS_PER_MM
