"""A time or a day as a person puts it before or behind what happened: ``14:20``, ``yesterday``, ``18 oct 9:05``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from asfound.core.words import fold

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LAST_MINUTE = time(23, 59)
"""A day of which no more is known counts from its end: the pictures of that day show how it was before."""

_LONG_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_LONG_MONTHS = tuple("january february march april may june july august september october november december".split())
_CLOCK = re.compile(r"(\d{1,2})(?::(\d{2}))?(am|pm)?")
_MOST_WORDS = 7


@dataclass(frozen=True, slots=True)
class SaidWhen:
    """When something was, as typed.

    Attributes
    ----------
    at : datetime
        By the job's clock, without an offset unless one was typed; the last minute of a day of which no more is known.
    is_day_only : bool
    """

    at: datetime
    is_day_only: bool = False


def splits(words: Sequence[str], today: date) -> list[tuple[SaidWhen | None, list[str], bool]]:
    """Ways to read a time off a line's beginning or end, the longest first and none last.

    Parameters
    ----------
    words : sequence of str
        The line; commas are words of their own.
    today : date
        By the job's clock. Days without a year, and days of the week, are the last that were.

    Returns
    -------
    list of (when, rest, is_behind)
        `rest` is the line without the time; `is_behind` tells whether it stood at the end.
    """
    found: list[tuple[SaidWhen | None, list[str], bool]] = []
    for size in range(min(_MOST_WORDS, len(words)), 0, -1):
        before, behind = read_when(words[:size], today), read_when(words[-size:], today, is_behind=True)
        found += [(before, list(words[size:]), False)] if before else []
        found += [(behind, list(words[:-size]), True)] if behind else []
    return [*found, (None, list(words), False)]


def read_when(words: Sequence[str], today: date, *, is_behind: bool = False) -> SaidWhen | None:
    """A time, a day or both, if these words are nothing else.

    Behind other words a day's short name ("sat", "sun") has to have "on" before it: there it is more often a word.
    """
    text = " ".join(fold(word) for word in words if word != ",")
    try:
        return _read(text, today, is_behind)
    except ValueError:  # a 31 June, a 25 o'clock
        return None


def when_words(at: datetime, *, is_day_only: bool = False) -> str:
    """``Sat 18 Oct 2025 14:20``, or the day alone."""
    day = f"{DAYS[at.weekday()]} {at.day} {MONTHS[at.month - 1]} {at.year}"
    return day if is_day_only else f"{day} {at:%H:%M}"


def _read(text: str, today: date, is_behind: bool) -> SaidWhen | None:
    if re.fullmatch(r"\d{4}-\d\d-\d\dt\d\d:\d\d\S*", text):
        return SaidWhen(datetime.fromisoformat(text.upper()))
    tokens = text.split()
    for cut in range(len(tokens) + 1):
        for day_tokens, clock_tokens in ((tokens[:cut], tokens[cut:]), (tokens[cut:], tokens[:cut])):
            day = _day(day_tokens, today, is_behind) if day_tokens else today
            clock = _clock(clock_tokens) if clock_tokens else LAST_MINUTE
            if tokens and day is not None and clock is not None:
                return SaidWhen(datetime.combine(day, clock), is_day_only=not clock_tokens)
    return None


def _clock(tokens: Sequence[str]) -> time | None:
    """``14:20``, ``at 2:20 pm``, ``9am``."""
    found = _CLOCK.fullmatch("".join(tokens[1:] if tokens[0] == "at" else tokens))
    if found is None or not (found[2] or found[3]):
        return None
    hour = int(found[1])
    if found[3]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if found[3] == "pm" else 0)
    return time(hour, int(found[2] or 0))


def _day(tokens: Sequence[str], today: date, is_behind: bool) -> date | None:
    """``today``, ``yesterday``, ``on sat``, ``saturday``, ``2025-10-18``, ``18 oct``, ``oct 18 2025``."""
    has_on = tokens[0] == "on"
    tokens = tokens[1:] if has_on else tokens
    if len(tokens) == 1:
        (word,) = tokens
        if word in ("today", "yesterday"):
            return today - timedelta(days=word == "yesterday")
        if re.fullmatch(r"\d{4}-\d\d-\d\d", word):
            return date.fromisoformat(word)
        weekday = _place(word, DAYS, _LONG_DAYS, is_short_enough=has_on or not is_behind)
        return None if weekday is None else today - timedelta(days=(today.weekday() - weekday) % 7)
    if len(tokens) not in (2, 3):
        return None
    months = [_place(word, MONTHS, _LONG_MONTHS) for word in tokens[:2]]
    days = [word for word, month in zip(tokens[:2], months, strict=True) if month is None]
    if len(days) != 1 or not re.fullmatch(r"\d{1,2}(st|nd|rd|th)?", days[0]):
        return None
    month = next(one for one in months if one is not None) + 1
    number = int(re.sub(r"\D", "", days[0]))
    if len(tokens) == 3:
        return date(int(tokens[2]), month, number) if re.fullmatch(r"\d{4}", tokens[2]) else None
    this_year = date(today.year, month, number)
    return this_year if this_year <= today else date(today.year - 1, month, number)


def _place(word: str, short: Sequence[str], long: Sequence[str], *, is_short_enough: bool = True) -> int | None:
    if word in long:
        return long.index(word)
    names = [name.casefold() for name in short]
    return names.index(word) if is_short_enough and word in names else None
