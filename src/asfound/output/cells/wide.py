"""Letters of two cells in a grid that has one character for each cell."""

from __future__ import annotations

import unicodedata

TAIL = "\u200b"
"""Stands in the second cell of a wide letter; it is drawn as nothing."""


def in_cells(text: str) -> str:
    """Text with as many characters as it has cells: accents joined to their letter, `TAIL` behind a wide one."""
    if text.isascii():
        return text
    joined = (sign for sign in unicodedata.normalize("NFC", text.replace(TAIL, "")) if not unicodedata.combining(sign))
    return "".join(sign + TAIL if is_wide(sign) else sign for sign in joined)


def is_wide(sign: str) -> bool:
    """Whether a sign has two cells; Unicode Standard Annex 11, East Asian Width."""
    return unicodedata.east_asian_width(sign) in "WF"
