"""How pictures are drawn: with which characters and colours, how sharp, and whether the shadows are lifted."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.output.cells.colour import Colour, Glyphs

SHARPNESS_WORDS = {0.6: "usual sharpness", 1.0: "sharpened: thin wires stand out", 0.0: "not sharpened"}
"""How strongly a picture is sharpened, in the order in which one key goes round, and what is said of it."""


@dataclass
class PictureLook:
    """What a person chose for the pictures on this terminal.

    Attributes
    ----------
    sharp : float
        One of `SHARPNESS_WORDS`.
    is_lifted : bool
        Whether what lies in shadow is drawn brighter.
    """

    glyphs: Glyphs = Glyphs.QUADRANTS
    colour: Colour = Colour.TRUE
    sharp: float = next(iter(SHARPNESS_WORDS))
    is_lifted: bool = False

    def sharpen(self) -> str:
        """Go on to the next sharpness; what to say of it."""
        round_of = list(SHARPNESS_WORDS)
        self.sharp = round_of[(round_of.index(self.sharp) + 1) % len(round_of)]
        return f"Picture {SHARPNESS_WORDS[self.sharp]}."

    def lift(self) -> str:
        """Lift the shadows, or draw them as they were taken; what to say of it."""
        self.is_lifted = not self.is_lifted
        return "Shadows lifted." if self.is_lifted else "Shadows as taken."

    def take(self, glyphs: Glyphs | None, colour: Colour | None) -> bool:
        """Draw with these characters and colours from now on, where they are given; whether that is new."""
        before = self.glyphs, self.colour
        self.glyphs, self.colour = glyphs or self.glyphs, colour or self.colour
        return (self.glyphs, self.colour) != before

    def shown_colour(self, *, no_color: bool, system: str | None) -> Colour:
        """The colours really drawn: NO_COLOR and terminals of 16 colours ("standard") overrule the choice."""
        if no_color:
            return Colour.GREY
        return Colour.SHADES if system == "standard" else self.colour
