"""Numbers and times as people read them on the screens."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from asfound.model.pictures import Picture, Spot
    from asfound.model.tags import EndLetter

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


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


def fit_words(words: str, width: int) -> str:
    """Text cut or filled to a width in cells; a cut shows as an ellipsis."""
    if len(words) > width:
        return words[: max(0, width - 1)] + "…" if width > 0 else ""
    return words.ljust(width)
