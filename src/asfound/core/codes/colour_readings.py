"""Colours as people write them: codes, English words, mixed case. What can mean two things is asked back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice, product

from asfound.core.codes.colours import COLOURS, GREEN_YELLOW, WireColour

MOST_CHOICES = 8

_NAMES = {name: code for code, name in COLOURS.items()}
_WORDS = _NAMES | {
    "purple": "VT", "slate": "GY", "gray": "GY", "silver": "SR",
    "blk": "BK", "brn": "BN", "org": "OG", "yel": "YE", "grn": "GN", "blu": "BU", "vio": "VT", "pur": "VT",
    "gry": "GY", "wht": "WH", "pnk": "PK", "trq": "TQ",
}  # fmt: skip
"""English names, and shortened ones that can mean one colour only. The short ones are common practice, no source."""

_ASK: dict[str, tuple[str, ...]] = {
    "gr": ("GY", "GN"), "bl": ("BU", "BK"), "br": ("BN", "BK/RD"), "pu": ("VT", "VT/BU"),
    "b": ("BK", "BN", "BU"), "g": ("GN", "GY", "GD"), "k": ("BK", "PK"), "l": ("BU",), "n": ("BN",), "o": ("OG",),
    "p": ("PK", "VT"), "r": ("RD",), "s": ("GY", "SR"), "t": ("TQ", "BN"), "u": ("BU",), "v": ("VT",), "w": ("WH",),
    "y": ("YE",),
    "sw": ("BK",), "rt": ("RD",), "ro": ("RD",), "ge": ("YE",), "ws": ("WH",), "vi": ("VT",), "li": ("VT",),
    "or": ("OG",), "rs": ("PK",), "gyn": ("GY", "GN"),
}  # fmt: skip
"""Codes of makers and countries that are not in IEC 60757, with what they are likely to mean; from memory."""

_SHADE = re.compile(r"\b(light|dark|pale|bright)[\s-]+(?=[a-z])")
_SMALL = re.compile(r"\b(with|and|an?|stripes?|striped|tracer|trace)\b|&")
_UNORDERED = re.compile(r"\w+\s*(?:\band\b|&)\s*\w+")
_LIGHT_BLUE = re.compile(r"\blight[\s-]+blue\b")
_ONE_WORD = re.compile(r"\b(?:green-and-yellow|yellow-and-green|gnye|yegn)\b")
_MARK = re.compile(r"\b(?:green\s+and\s+yellow|yellow\s+and\s+green)\b(?!\s+stripes)")
"""Green-and-yellow; "green and yellow stripes" are two stripes."""

_BETWEEN = re.compile(r"[\s/,;\\-]+")


@dataclass(frozen=True, slots=True)
class ColourReading:
    """What a person may have meant by a colour.

    Attributes
    ----------
    typed : str
        As typed, trimmed; keep this when nothing else could be read.
    colour : WireColour or None
        None when it must be asked, or could not be read.
    choices : tuple of WireColour
        What it could be, likeliest first; empty when it was read, or is no colour at all.
    notes : tuple of str
        What to show beside it.
    is_shaded : bool
        Whether it says light, dark, pale or bright, which no code can: keep it, and show it, as typed.
    """

    typed: str
    colour: WireColour | None = None
    choices: tuple[WireColour, ...] = ()
    notes: tuple[str, ...] = ()
    is_shaded: bool = False

    @property
    def question(self) -> str:
        """What to ask the person; empty when there is nothing to ask."""
        if not self.choices:
            return ""
        named = " or ".join(f"{choice.shown} ({choice.words})" for choice in self.choices)
        why = "can be read in more than one way" if len(self.choices) > 1 else "is not a code of IEC 60757"
        return f"{self.typed} {why}: is it {named}?"


def parse_colour(typed: str) -> ColourReading:
    """Read one wire's colour; never raises.

    Codes run together without a sign between them do not tell the main colour, nor do two colours joined with "and":
    "RDBU" and "red and blue" are asked back. So is every code that is not in table 1.

    Parameters
    ----------
    typed : str
        "RD/BK", "rd bk", "red with black stripe", "GNYE", "light blue".
    """
    text = typed.strip()
    folded = _MARK.sub(GREEN_YELLOW, _ONE_WORD.sub(GREEN_YELLOW, text.casefold()))
    plain = _SHADE.sub("", folded)
    parts = [part for part in _BETWEEN.split(_SMALL.sub(" ", plain)) if part]
    meanings = [_meanings(part) for part in parts]
    if not all(meanings):
        return ColourReading(text, notes=("Not a colour of IEC 60757, table 1: kept as written.",))
    choices = _choices(meanings, turned=_UNORDERED.fullmatch(plain) is not None)
    if len(choices) == 1 and all(_is_told(part) for part in parts):
        notes = choices[0].notes + _shade_notes(folded)
        return ColourReading(text, choices[0], notes=notes, is_shaded=_SHADE.search(folded) is not None)
    return ColourReading(text, choices=choices)


def parse_cores(typed: str) -> tuple[ColourReading, ...]:
    """Read the cores of one cable, joined with +; one reading for each, in order."""
    return tuple(parse_colour(core) for core in typed.split("+"))


def _shade_notes(folded: str) -> tuple[str, ...]:
    if _LIGHT_BLUE.search(folded):
        return ("IEC 60757 writes light blue as BU too: kept as typed.",)
    return ("IEC 60757 has no shades: kept as typed.",) if _SHADE.search(folded) else ()


def _meanings(part: str) -> tuple[WireColour, ...]:
    """What one word or code can mean; several colours when the codes are run together."""
    code = part.upper()
    if code in COLOURS:
        return (WireColour(code),)
    if part in _WORDS:
        return (WireColour(_WORDS[part]),)
    if part in _ASK:
        return tuple(WireColour(main, tuple(stripes)) for main, *stripes in (c.split("/") for c in _ASK[part]))
    return tuple(_run_together(code))


def _run_together(code: str) -> Iterator[WireColour]:
    codes = re.findall("|".join(sorted(COLOURS, key=len, reverse=True)), code)
    if len(codes) > 1 and "".join(codes) == code:
        for at, main in enumerate(codes):
            yield WireColour(main, tuple(codes[:at] + codes[at + 1 :]))


def _is_told(part: str) -> bool:
    return part.upper() in COLOURS or part in _WORDS


def _choices(meanings: list[tuple[WireColour, ...]], *, turned: bool) -> tuple[WireColour, ...]:
    """Combinations of meanings: the first is the main colour, all others are stripes; the other way round if turned."""
    ways = [meanings, meanings[::-1]] if turned else [meanings]
    combinations = (combination for way in ways for combination in product(*way) if combination)
    codes = ([code for colour in combination for code in colour.codes] for combination in combinations)
    found = dict.fromkeys(WireColour(main, tuple(stripes)) for main, *stripes in codes)
    return tuple(islice(found, MOST_CHOICES))
