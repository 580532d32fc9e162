"""What was read in a picture: one number at one place. Always a proposal; a person confirms it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from asfound.model.tags import EndLetter

How = Literal["marker", "written"]


@dataclass(frozen=True, slots=True)
class Reading:
    """A number read from a printed marker or from writing on tape.

    Attributes
    ----------
    number : str
    end : {"A", "B"} or None
        Markers carry the end; written numbers do not.
    how : {"marker", "written"}
    x_frac, y_frac, w_frac, h_frac : float
        Centre and size of the upright box around it, in fractions of the picture as displayed, origin top left.
    confidence : float
        0 to 1: for ordering and for hiding the doubtful, not a probability.
    upside_down : str or None
        The other number it would be with the tape turned round (16 for 91); None when there is no other.
    doubt : str
        Why the confidence is low, in words for the screen; empty when nothing speaks against it.
    """

    number: str
    end: EndLetter | None
    how: How
    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float
    confidence: float
    upside_down: str | None = None
    doubt: str = ""
