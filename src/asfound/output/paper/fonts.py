"""The font of printed sheets: Latin, Greek and Cyrillic, embedded; what it lacks is shown as a plain box."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import cache
from importlib.resources import files

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from asfound.core.sheets.measures import POINTS_PER_MM

REGULAR, BOLD = "AsfoundSans", "AsfoundSans-Bold"
_FILES = {REGULAR: "FiraSans-Regular.ttf", BOLD: "FiraSans-Bold.ttf"}

BOX_EM = 0.6
"""Width of the box that stands for a character without a glyph, as a share of the size of the type."""

_UNSEEN = frozenset({"Cf", "Cc"})
"""Categories of characters that steer others and are never seen themselves, such as joiners."""

_SILENT = frozenset({"Mn", "Me", "Cs", "Sk"})
"""Categories that only change their neighbours; without a glyph they show nothing. "Sk" has the tints of emoji."""


class FontRuler:
    """Measures words as the embedded font sets them."""

    def width_mm(self, words: str, size_pt: float, *, bold: bool = False) -> float:
        """Width of words set in one line."""
        return _width_em(words, bold) * size_pt / POINTS_PER_MM

    @property
    def capital_frac(self) -> float:
        """Height of a capital letter as a share of the size of the type."""
        return float(_font(REGULAR).face.capHeight) / 1000


def pieces(words: str, *, bold: bool) -> Iterator[tuple[str, int]]:
    """Words in pieces that the font has, each with how many boxes for lacking characters come after it."""
    glyphs = _font(name_of(bold=bold)).face.charToGlyph
    piece, boxes = "", 0
    for character in shown_as(words):
        if ord(character) in glyphs:
            if boxes:
                yield piece, boxes
                piece, boxes = "", 0
            piece += character
        elif unicodedata.category(character) not in _SILENT:
            boxes += 1
    if piece or boxes:
        yield piece, boxes


def shown_as(words: str) -> str:
    """Words as they are set: accents joined to letters, all white space a blank, what is never seen left out."""
    joined = unicodedata.normalize("NFC", words)
    blanked = (" " if character.isspace() else character for character in joined)
    return "".join(character for character in blanked if unicodedata.category(character) not in _UNSEEN)


def piece_mm(piece: str, size_pt: float, *, bold: bool) -> float:
    """Width of a piece that the font has."""
    return float(_font(name_of(bold=bold)).stringWidth(piece, size_pt)) / POINTS_PER_MM


def name_of(*, bold: bool) -> str:
    """The name under which the font is registered."""
    name = BOLD if bold else REGULAR
    _font(name)
    return name


@cache
def _font(name: str) -> TTFont:
    font = TTFont(name, str(files("fontpkg_fira_sans") / "files" / _FILES[name]))
    pdfmetrics.registerFont(font)
    return font


@cache
def _width_em(words: str, bold: bool) -> float:
    return sum(piece_mm(piece, POINTS_PER_MM, bold=bold) + boxes * BOX_EM for piece, boxes in pieces(words, bold=bold))
