"""A time or a day as a person says it: ``14:20``, ``yesterday evening``, ``31/5``, ``2 days ago``, ``18 oct 9:05``.

The one reader of times: for a line of the log, and for ``--at``.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from asfound.core.log.said_days import DAY_PART, DAYS, MONTHS, place_of_weekday, read_days
from asfound.core.log.spoken_clock import read_spoken
from asfound.core.words import fold

LAST_MINUTE = time(23, 59)
"""A day of which no more is known counts from its end: the pictures of that day show how it was before."""

_COUNTS = dict.fromkeys(("a", "an", "one"), 1) | {
    word: number for number, word in enumerate("two three four five six seven eight nine ten eleven twelve".split(), 2)
}
_COUNTS |= {"couple of": 2, "a couple of": 2, "a fortnight": 14}
_SPANS = {"day": 1, "days": 1, "week": 7, "weeks": 7, "fortnight": 14}
_MINUTES = {"min": 1, "mins": 1, "minute": 1, "minutes": 1, "hour": 60, "hours": 60, "hr": 60, "hrs": 60, "h": 60}
_PART = re.compile(
    r"(?:in the |at |early |late |during )*(?P<part>morning|afternoon|evening|night|lunchtime|lunch|noonish)|"
    r"(?P<meal>(?:just |shortly )?(?:before|after|at|over|around) "
    r"(?:lunch|lunchtime|dinner|breakfast|tea|coffee|work|break))"
)
_MOST_WORDS = 8
_ENDS = frozenset(
    ", off on out in back removed disconnected unplugged refitted fitted capped tight drained filled".split()
)
"""Words behind which "sat" at the end of a line is a day."""


@dataclass(frozen=True, slots=True)
class SaidWhen:
    """When something was, as typed.

    Attributes
    ----------
    at : datetime
        By the job's clock, without an offset unless one was typed; the last minute of a day of which no more is known.
    is_day_only : bool
    part : str
        The part of the day, in the person's words, where no hour is known: "evening".
    """

    at: datetime
    is_day_only: bool = False
    part: str = ""


@dataclass(frozen=True, slots=True)
class WhenSpan:
    """Words of a line that say a time.

    Attributes
    ----------
    start, stop : int
        From which word to before which.
    choices : tuple of SaidWhen
        What it can be; none where there is no such day or hour.
    is_weak : bool
        Whether these words may as well be something else, such as numbers on tape.
    to_come : date or None
        The next day that these words can name, where they are read of what is to come.
    """

    start: int
    stop: int
    choices: tuple[SaidWhen, ...]
    is_weak: bool = False
    to_come: date | None = None


def find_whens(words: Sequence[str], now: datetime) -> list[WhenSpan]:
    """Every time in a line, each as long as it goes, from left to right.

    Parameters
    ----------
    words : sequence of str
        Marks such as commas are words of their own; an empty one is nothing of a time.
    now : datetime
        By the job's clock, without offset. Days without a year, and days of the week, are the last that were.
    """
    folded = [fold(word) for word in words]
    found: list[WhenSpan] = []
    at = 0
    while at < len(folded):
        span = next(filter(None, (_span(folded, at, size, now) for size in range(_MOST_WORDS, 0, -1))), None)
        found += [span] if span else []
        at = span.stop if span else at + 1
    return found


def read_when(text: str, now: datetime) -> SaidWhen | None:
    """A time, a day or both, if a text is nothing else; None too where it can be two days."""
    choices = read_choices(text, now)
    return choices[0] if choices is not None and len(choices) == 1 else None


def read_choices(text: str, now: datetime) -> tuple[SaidWhen, ...] | None:
    """What a text that is nothing but a time can be; empty where there is no such day, None where it is no time."""
    words = [word for word in fold(text).replace(",", " ").split()]
    if not words:
        return None
    return _choices(words, now, is_first=True)


def when_words(at: datetime, *, is_day_only: bool = False) -> str:
    """``Sat 18 Oct 2025 14:20``, or the day alone."""
    day = f"{DAYS[at.weekday()]} {at.day} {MONTHS[at.month - 1]} {at.year}"
    return day if is_day_only else f"{day} {at:%H:%M}"


def _span(words: Sequence[str], at: int, size: int, now: datetime) -> WhenSpan | None:
    stop = at + size
    if stop > len(words) or words[stop - 1] in ("", ",", ".") or words[at] in ("", ",", "."):
        return None
    said = [word for word in words[at:stop] if word != ","]
    is_last = stop == len(words) and at > 0 and (words[at - 1] in _ENDS or words[at - 1][-1:].isdecimal())
    choices = _choices(said, now, is_first=at == 0 or is_last)
    if choices is None:
        return None
    is_weak = size == 1 and re.fullmatch(r"\d{1,2}[./-]\d{1,2}", words[at]) is not None
    return WhenSpan(at, stop, choices, is_weak, _next_after(choices, said, now.date()))


def _next_after(choices: Sequence[SaidWhen], words: Sequence[str], today: date) -> date | None:
    """A day without a year, or a day of the week, as the next instead of the last that was."""
    if not choices:
        return None
    day = choices[0].at.date()
    if day > today or re.search(r"\d{4}", " ".join(words)):
        return day
    if any(place_of_weekday(word) is not None for word in words):
        return day + timedelta(days=7)
    with suppress(ValueError):
        return day.replace(year=day.year + 1)
    return None


def _choices(words: Sequence[str], now: datetime, *, is_first: bool) -> tuple[SaidWhen, ...] | None:
    """Every cut into a day, a clock and a part of the day, in any order."""
    text = " ".join(words)
    if re.fullmatch(r"\d{4}-\d\d-\d\d[t ]\d\d:\d\d\S*", text):
        return _exact(text)
    if (ago := _ago(text, now)) is not None:
        return (ago,)
    best: tuple[SaidWhen, ...] | None = None
    for cut in range(len(words) + 1):
        for day_words, rest in ((words[:cut], words[cut:]), (words[cut:], words[:cut])):
            found = _day_and_rest(list(day_words), list(rest), now, is_first=is_first)
            if found:
                return found
            best = found if best is None else best
    return best


def _exact(text: str) -> tuple[SaidWhen, ...]:
    try:
        return (SaidWhen(datetime.fromisoformat(text.upper().replace(" ", "T"))),)
    except ValueError:
        return ()


def _day_and_rest(
    day_words: list[str], rest: list[str], now: datetime, *, is_first: bool
) -> tuple[SaidWhen, ...] | None:
    part = _PART.fullmatch(" ".join(rest)) if rest else None
    clock = _clock(rest) if rest and not part else None
    if rest and not part and clock is None and (spoken := read_spoken(rest)):
        days = read_days(" ".join(day_words), now.date(), is_sure=True) if day_words else (now.date(),)
        return None if days is None else _that_were([_of_day(day, one, ()) for day in days for one in spoken], now)
    if rest and not part and clock is None:
        return None
    if not day_words:
        if part:
            return None if part["part"] else (_of_day(now.date(), None, rest),)
        return None if clock is None else (() if clock == _NO_TIME else (_of_day(now.date(), clock, ()),))
    days = read_days(" ".join(day_words), now.date(), is_sure=is_first or bool(rest))
    if days is None:
        return None
    if clock == _NO_TIME:
        return ()
    known = DAY_PART.fullmatch(" ".join(day_words))
    return tuple(_of_day(day, clock, (known["part"],) if known else rest if part else ()) for day in days)


def _that_were(said: list[SaidWhen], now: datetime) -> tuple[SaidWhen, ...]:
    """Of an hour in the morning or the afternoon the one that has been, where only one has."""
    return tuple([one for one in said if one.at <= now] or said)


_NO_TIME = time(0, 0, 0, 1)
"""Stands for digits that look like a clock's and are none: 25:10."""


def _of_day(day: date, clock: time | None, part: Sequence[str]) -> SaidWhen:
    at = datetime.combine(day, LAST_MINUTE if clock is None else clock)
    return SaidWhen(at, is_day_only=clock is None, part=" ".join(part))


def _ago(text: str, now: datetime) -> SaidWhen | None:
    found = re.fullmatch(r"(?:about |ca )?(half an|\d{1,3}|[a-z ]+?) (\w+) ago", text)
    if found is None:
        return None
    count = _COUNTS.get(found[1], int(found[1]) if found[1].isdecimal() else 0)
    if found[1] == "half an" and found[2] == "hour":
        return SaidWhen(now - timedelta(minutes=30))
    if count and found[2] in _SPANS:
        return _of_day(now.date() - timedelta(days=count * _SPANS[found[2]]), None, ())
    if count and found[2] in _MINUTES:
        return SaidWhen(now - timedelta(minutes=count * _MINUTES[found[2]]))
    return None


def _clock(words: Sequence[str]) -> time | None:
    """``14:20``, ``at 2:20 pm``, ``9am``, ``14h20``, ``noon``; `_NO_TIME` for what only looks like one."""
    words = list(words)
    if (
        words[0] in ("at", "@")
        and re.fullmatch(r"([01]?\d|2[0-3])\.?[0-5]\d", "".join(words[1:]))
        and len(words[-1]) > 3
    ):
        return time(int("".join(words[1:])[:-2].rstrip(".")), int(words[-1][-2:]))
    while words and words[0] in ("at", "about", "around", "approx", "ca", "@", "roughly"):
        words = words[1:]
    text = "".join(words).replace(".m.", "m").replace("a.m", "am").replace("p.m", "pm").rstrip(".")
    if text in ("noon", "midday", "12noon"):
        return time(12)
    found = re.fullmatch(r"(\d{1,2})(?:([:.h])(\d{2}))?(h|hr|hrs|am|pm)?", text)
    if found is None or not (found[2] in (":", "h") or found[4]) or len(words) > 2:
        return None
    hour, minute = int(found[1]), int(found[3] or 0)
    if found[4] in ("am", "pm"):
        if not 1 <= hour <= 12:
            return _NO_TIME
        hour = hour % 12 + (12 if found[4] == "pm" else 0)
    return time(hour, minute) if hour < 24 and minute < 60 else _NO_TIME
