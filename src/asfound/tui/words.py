"""Numbers and times as people read them on the screens."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import TYPE_CHECKING

from asfound.core.log.said_days import DAYS, MONTHS

if TYPE_CHECKING:
    from asfound.model.pictures import Picture, Spot
    from asfound.model.tags import EndLetter


KEY_SIGNS = {
    "left_square_bracket": "[",
    "right_square_bracket": "]",
    "comma": ",",
    "full_stop": ".",
    "plus": "+",
    "minus": "-",
    "slash": "/",
    "colon": ":",
    "semicolon": ";",
    "apostrophe": "'",
    "question_mark": "?",
    "up": "↑",
    "down": "↓",
    "right": "→",
}
"""Keys that are written on the screens otherwise than the toolkit names them."""


def key_sign(names: str) -> str:
    """Keys as people read them: ``[`` for ``left_square_bracket``, ``x or r`` for ``x,r``."""
    return " or ".join(KEY_SIGNS.get(name, name) for name in names.split(","))


def count(number: int, one: str, many: str = "") -> str:
    """``1 picture``, ``3 pictures``, ``no pictures``."""
    if number == 1:
        return f"1 {one}"
    return f"{number or 'no'} {many or one + 's'}"


def day_words(day: date | None, *, year: bool = True) -> str:
    """``Sat 18 Oct 2025``."""
    if day is None:
        return "time not known"
    words = f"{DAYS[day.weekday()]} {day.day} {MONTHS[day.month - 1]}"
    return f"{words} {day.year}" if year else words


def moment_words(moment: datetime | None) -> str:
    """``18 Oct 09:42``."""
    if moment is None:
        return "time not known"
    return f"{moment.day} {MONTHS[moment.month - 1]} {moment:%H:%M}"


def moment_with_year(moment: datetime | None) -> str:
    """``18 Oct 2025 09:42``."""
    if moment is None:
        return "time not known"
    return f"{moment.day} {MONTHS[moment.month - 1]} {moment.year} {moment:%H:%M}"


def spot_words(spot: Spot) -> str:
    """A spot's name, or its number while it has none."""
    return spot.name or f"Spot {spot.spot_id}"


def taken_words(picture: Picture) -> str:
    """When a picture was taken, with a question mark when that is in doubt."""
    moment = picture.taken_at or picture.taken_local
    return moment_words(moment) + ("?" if picture.time_doubt else "")


def split_number(words: str) -> tuple[str, EndLetter | None]:
    """A typed number and its end: ``112b`` is number 112, end B; without a letter the end is not said."""
    words = words.strip()
    found = re.fullmatch(r"(.*\d)\s*([abAB])", words)
    if found is None:
        return words, None
    return found[1], "A" if found[2] in "aA" else "B"


_NARROW = re.compile(r"[\x20-\x7e\xa0-\u02ff\u2010-\u2027\u2190-\u21ff\u2500-\u25fc]*")
"""Text of letters and signs that all have one cell; whatever else is looked up."""
_CONTROL = dict.fromkeys((*range(32), *range(127, 160), 0x2028, 0x2029), " ")
"""Signs that would move the cursor or break the row, to a blank each."""


def width_of(words: str) -> int:
    """How many cells text has on a terminal: two for a wide letter, none for an accent that joins the one before."""
    if _NARROW.fullmatch(words):
        return len(words)
    from rich.cells import cell_len  # only here: the first frame is written before anything large is loaded

    return cell_len(words)


def cut_words(words: str, width: int) -> str:
    """As much of a text as has room in so many cells, no letter halved."""
    if _NARROW.fullmatch(words):
        return words[: max(0, width)]
    from rich.cells import set_cell_size

    if width_of(words) <= width:
        return words
    begun = set_cell_size(words, max(0, width))
    return begun if words.startswith(begun) else begun[:-1]  # a blank stands there for half a letter


def fit_words(words: str, width: int) -> str:
    """Text cut or filled to a width in cells; a cut shows as an ellipsis."""
    words = words.translate(_CONTROL)
    if width_of(words) > width:
        words = cut_words(words, width - 1) + "…" if width > 0 else ""
    return words + " " * (width - width_of(words))


def shorten_words(words: str, width: int) -> str:
    """Text cut to a width in cells behind a whole word where that leaves at least half, with an ellipsis."""
    words = words.translate(_CONTROL)
    if width_of(words) <= width:
        return words
    begun = cut_words(words, width - 2)
    whole = begun if words[len(begun) : len(begun) + 1] == " " else begun.rpartition(" ")[0]
    return f"{(whole if 2 * width_of(whole) >= width else begun).rstrip()} …"


def wrap_words(words: str, width: int, *, indent: str = "") -> list[str]:
    """Text in lines of so many cells, broken between words; lines after the first are indented.

    A word that is longer than a line, or written without blanks, is broken where the line ends.
    """
    lines: list[str] = [""]
    for word in words.split():
        blank = " " if lines[-1].strip() else ""
        if width_of(lines[-1] + blank + word) <= width:
            lines[-1] += blank + word
            continue
        if lines[-1].strip():
            lines.append(indent)
        while width_of(lines[-1] + word) > width:
            part = cut_words(word, width - width_of(lines[-1])) or word[:1]
            lines[-1] += part
            word = word[len(part) :]
            lines.append(indent)
        lines[-1] += word
    return lines
