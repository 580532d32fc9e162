"""How many colours a picture is drawn in. Light, so that screens can name the choice without loading the drawing."""

from __future__ import annotations

from enum import StrEnum


class Colour(StrEnum):
    """The colours to draw with."""

    TRUE = "true"
    PALETTE = "256"
    GREY = "grey"
    SHADES = "4 greys"

    def after(self) -> Colour:
        """The next choice, for one key that goes round."""
        round_of = (Colour.TRUE, Colour.PALETTE, Colour.GREY)
        return round_of[(round_of.index(self) + 1) % 3] if self in round_of else Colour.TRUE


class Glyphs(StrEnum):
    """The characters to draw with."""

    SEXTANTS = "sextants"
    QUADRANTS = "quadrants"
    HALVES = "half blocks"

    @property
    def across(self) -> int:
        """Pixels side by side in a cell."""
        return 1 if self is Glyphs.HALVES else 2

    @property
    def down(self) -> int:
        """Pixels one above the other in a cell."""
        return 3 if self is Glyphs.SEXTANTS else 2
