"""The times of a line, and which part of it each is of."""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from asfound.core.log.said_when import SaidWhen, WhenSpan
from asfound.core.typed import said as kinds
from asfound.core.typed.said import Said, Unread
from asfound.core.typed.tokens import Token, is_unit

_TO_COME = frozenset("back promised promise due ready until till expected returns return".split())
_TO_COME_TOO = frozenset("by for on at in is be should again and from it then".split())
_AWAY = re.compile(
    r"\b(?:sent|posted|shipped|mailed|taken|took|brought|delivered|dropped|couriered)\b.*\b(?:to|out|off|away|at)\b"
)


def is_amount(span: WhenSpan, tokens: Sequence[Token]) -> bool:
    """Whether what could be a day is a number before its unit: 6.5 l."""
    return span.is_weak and span.stop < len(tokens) and is_unit(tokens[span.stop].code)


def choose(spans: Sequence[WhenSpan]) -> list[list[WhenSpan]]:
    """Every span taken as a time, and each weak one also as something else."""
    ways = [[True, False] if span.is_weak else [True] for span in spans]
    return [
        [span for span, is_taken in zip(spans, taken, strict=True) if is_taken] for taken in itertools.product(*ways)
    ][:16]


def without_promise(tokens: list[Token], spans: list[WhenSpan]) -> tuple[list[Token], list[WhenSpan], WhenSpan | None]:
    """Of what was sent out: the day by which it is to be back, and the line without it."""
    if not spans or not _AWAY.search(" ".join(one.code for one in tokens)):
        return tokens, spans, None
    last = spans[-1]
    start = last.start
    while start and tokens[start - 1].code in _TO_COME | _TO_COME_TOO:
        start -= 1
    if last.stop != len(tokens) or not _TO_COME & {one.code for one in tokens[start : last.start]}:
        return tokens, spans, None
    if len(last.choices) != 1 or not last.choices[0].is_day_only:
        raise Unread("The day by which it is promised is not clear; say it like 2025-12-20.")
    while start and tokens[start - 1].code in (",", ";", "-"):
        start -= 1
    return tokens[:start], spans[:-1], last


def with_promise(whole: list[Said], promised: WhenSpan | None) -> list[Said]:
    if promised is None:
        return whole
    if not any(said.kind == "sent out" for said in whole):
        raise Unread("A day to come stands in it; say by itself what has not happened yet.")
    return [replace(said, promised=_day_to_come(promised)) if said.kind == "sent out" else said for said in whole]


def _day_to_come(span: WhenSpan) -> str:
    """The next such day; days are read as past ones otherwise."""
    return f"{span.to_come:%Y-%m-%d}"


def without_times(tokens: Sequence[Token], spans: Sequence[WhenSpan]) -> tuple[list[Token], list[Token]]:
    """The other tokens, and each time as one token."""
    left: list[Token] = []
    times: list[Token] = []
    at = 0
    for span in spans:
        left += tokens[at : span.start]
        before = left[-1].code if left else ""
        some = tokens[span.start : span.stop]
        is_number = before[:1].isdecimal()
        if (before in _TO_COME or is_number) and some[0].code == "on" and not _is_weekday(some[1]):
            left.append(some[0])  # "17 back on 31/5"
            some = some[1:]
        elif before in _TO_COME and not _HAS_BEEN & {one.code for one in some}:
            raise Unread(f'"{some[-1].text}" can be a day to come; say by itself what has not happened yet.')
        if left and left[-1].code == "since":  # "17 is off since yesterday"
            left.pop()
        times.append(Token(" ".join(one.text for one in some), "W", some[0].start, some[-1].stop))
        at = span.stop
        if not left and at < len(tokens) and tokens[at].code in (",", ":", "-"):
            at += 1
    return [*left, *tokens[at:]], times


_HAS_BEEN = frozenset("yesterday ago today earlier last now morning :".split())


def _is_weekday(token: Token) -> bool:
    return token.code[:3] in ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def timed(parts: Sequence[tuple[int, list[Said]]], times: Sequence[tuple[Token, SaidWhen]]) -> list[list[Said]]:
    """Each time given to the part it stands in; one before all is of all.

    Parameters
    ----------
    parts : sequence of tuple
        Where each begins in the line, and what it says.
    times : sequence of tuple
        The words of each time, and the time.

    Raises
    ------
    Unread
        If a time at the end can be of the last part or of all, or a part has two.
    """
    told: list[list[SaidWhen]] = [[] for _ in parts]
    for token, when in times:
        if len(parts) > 1 and token.start < parts[0][0]:
            for one in told:
                one.append(when)
            continue
        place = max((at for at, (start, _ways) in enumerate(parts) if start <= token.start), default=0)
        told[place].append(when)
    whens = [_one_when(some) for some in told]
    if len(parts) > 1 and any(whens) and not all(whens):
        raise Unread("It is not clear for which part the time is; put it first for all, or say it in two lines.")
    return [[_at_time(said, when) for said in ways] for (_start, ways), when in zip(parts, whens, strict=True)]


def _one_when(whens: Sequence[SaidWhen]) -> SaidWhen | None:
    """One time out of a day and an hour that stand apart."""
    if len(whens) < 2:
        return whens[0] if whens else None
    days, clocks = [one for one in whens if one.is_day_only], [one for one in whens if not one.is_day_only]
    if len(days) == 1 and len(clocks) == 1:
        return SaidWhen(datetime.combine(days[0].at.date(), clocks[0].at.time()))
    raise Unread("Two times stand in one sentence; say it in two lines.")


def _at_time(said: Said, when: SaidWhen | None) -> Said:
    if when is None:
        return said
    note = ", ".join(filter(None, (said.note, when.part)))
    return replace(said, when=when, note=note) if said.kind not in (kinds.SNAG, kinds.BUY) else replace(said, when=when)
