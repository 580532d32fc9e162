"""A line of the log as a person types it, read: what it says for certain, or what has to be asked back.

    took 17, 18 and 19 off yesterday, bolts in B4
    engine oil drained 6.5 l into blue can
    mk: 17b back on, hand tight

A line is cut at commas and joining words; the first words of it that say something whole are a head, and what follows
is of that head until the next one. Whatever is left over goes into the note, unless it may mean something: a number, a
time, a verb, a doubt. Then nothing is taken, and what is unclear is asked back.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime

from asfound.core.log.said_when import SaidWhen, WhenSpan, find_whens
from asfound.core.typed import said as kinds
from asfound.core.typed.clauses import ClauseReader
from asfound.core.typed.following import follow, is_bag_of
from asfound.core.typed.free_text import read_free
from asfound.core.typed.numbers import doubtful_of, end_of, unknown_of, with_label
from asfound.core.typed.said import KnownNames, Reading, ReadLine, Said, Unread
from asfound.core.typed.tokens import Token, is_unit, read_numbers, split_line
from asfound.core.typed.who import take_lead, take_who

EXAMPLE = "17 off bag 4 clip rusted"
MOST_SEGMENTS = 10
_SOFT = frozenset({",", "and", "&", "plus", "+", "-"})
_HARD = frozenset({";", ".", "|", "then", "but", "(", ")", "..."})
_TO_COME = frozenset("back promised promise due ready until till expected returns return".split())
_TO_COME_TOO = frozenset("by for on at in is be should again and from it then".split())
_AWAY = re.compile(
    r"\b(?:sent|posted|shipped|mailed|taken|took|brought|delivered|dropped|couriered)\b.*\b(?:to|out|off|away|at)\b"
)


@dataclass
class Segment:
    """Tokens between two separators, and the one before them."""

    tokens: list[Token]
    mark: str = ""


@dataclass
class Part:
    """A head with what follows it: the ways to read it, and where it begins and ends in the line."""

    ways: list[list[Said]]
    start: int
    stop: int
    is_open: bool = False
    notes: list[str] = field(default_factory=list)


def read_line(line: str, known: KnownNames, now: datetime) -> ReadLine:
    """Read a line.

    Parameters
    ----------
    now : datetime
        By the job's clock, without offset.

    Returns
    -------
    ReadLine
        With one reading and nothing to ask, or with the readings there are and what is unclear.
    """
    try:
        return _answer(_readings(line, known, now), known, line)
    except Unread as why:
        return ReadLine((), f"{why} Nothing was written.")


def said_of(label: str, line: str, now: datetime) -> str:
    """A line with a thing's label put in front of what happened, unless a number stands there already.

    The line may begin with a time, or be empty: of 17, "off" is "17 off" and "14:20 off" is "14:20 17 off".
    """
    tokens = split_line(line)
    lead = next((span for span in find_whens([one.text for one in tokens], now) if span.start == 0), None)
    rest = tokens[lead.stop if lead else 0 :]
    if rest and any(letter.isdecimal() for letter in rest[0].text):
        return line
    at = rest[0].start if rest else len(line)
    return f"{line[:at]}{' ' if at and line[at - 1 : at] not in (' ', '') else ''}{label} {line[at:]}".strip()


def _answer(readings: list[Reading], known: KnownNames, line: str) -> ReadLine:
    if not readings:
        return ReadLine((), f'"{line.strip()}" is not understood. Say it like: {EXAMPLE}. Nothing was written.')
    tags = [label for said in readings[0] for label in said.tags]
    if unknown := list(dict.fromkeys(unknown_of(tags, known))):
        named = " and ".join(([", ".join(unknown[:-1])] if unknown[1:] else []) + unknown[-1:])
        left = _without_labels(readings[0], unknown) if len(readings) == 1 else ()
        return ReadLine((left,) if left else (), f"There is no {named} in this job. Nothing was written.")
    wide = [one for reading in readings for one in _said_apart(reading, known)]
    if len(wide) == 1:
        return ReadLine((wide[0],))
    return ReadLine(tuple(wide), f'"{line.strip()}" can mean {len(wide)} things. Nothing was written.')


def _without_labels(reading: Reading, labels: Sequence[str]) -> Reading:
    kept = []
    for said in reading:
        tags = tuple(label for label in said.tags if label not in labels)
        kept += [replace(said, tags=tags)] if tags or not said.tags else []
    return tuple(kept)


def _said_apart(reading: Reading, known: KnownNames) -> list[Reading]:
    """The readings that come of numbers which several things have."""
    doubtful = dict(doubtful_of([label for said in reading for label in said.tags], known))
    ends: dict[str, tuple[str, str]] = {}
    for said in reading:
        if said.kind in ("tape lost", "tape back"):
            lone = [tag for tag in said.tags if not end_of(tag, known) and tag.partition(".")[0] not in known.one_ended]
            ends |= {tag: (f"{tag}a", f"{tag}b") for tag in lone}
    found = []
    for meant in itertools.product(*doubtful.values()):
        one = reading
        for old, new in zip(doubtful, meant, strict=True):
            one = tuple(replace(said, tags=with_label(said.tags, old, new)) for said in one)
        found.append(one)
    for tag, both in ends.items():
        found = [_with_end(one, tag, end) for one in found for end in both]
    return found


def _with_end(reading: Reading, tag: str, label: str) -> Reading:
    return tuple(
        replace(said, tags=with_label(said.tags, tag, label)) if said.kind in ("tape lost", "tape back") else said
        for said in reading
    )


def _readings(line: str, known: KnownNames, now: datetime) -> list[Reading]:
    tokens = split_line(line)
    if not tokens:
        return []
    by, tokens = take_lead(tokens)
    spans = [one for one in find_whens([one.text for one in tokens], now) if not _is_amount(one, tokens)]
    if (free := read_free(line, tokens, spans, known)) is not None:
        return [tuple(replace(said, by=said.by or by) for said in free)]
    found: dict[Reading, None] = {}
    refusal: Unread | None = None
    for chosen in _choices(spans):
        try:
            for reading in _read_with(line, tokens, chosen, known, by):
                found.setdefault(reading)
        except Unread as why:
            refusal = refusal or why
    if empty := [span for span in spans if not span.choices and not (span.is_weak and found)]:
        text = " ".join(one.text for one in tokens[empty[0].start : empty[0].stop])
        raise Unread(f'There is no such day or time as "{text}".')
    if not found and refusal is not None:
        raise refusal
    return list(found)


def _is_amount(span: WhenSpan, tokens: Sequence[Token]) -> bool:
    """Whether what could be a day is a number before its unit: 6.5 l."""
    return span.is_weak and span.stop < len(tokens) and is_unit(tokens[span.stop].code)


def _choices(spans: Sequence[WhenSpan]) -> list[list[WhenSpan]]:
    """Every span taken as a time, and each weak one also as something else."""
    ways = [[True, False] if span.is_weak else [True] for span in spans]
    return [
        [span for span, is_taken in zip(spans, taken, strict=True) if is_taken] for taken in itertools.product(*ways)
    ][:16]


def _read_with(
    line: str, tokens: Sequence[Token], spans: Sequence[WhenSpan], known: KnownNames, by: str
) -> list[Reading]:
    tokens, spans, promised = _without_promise(list(tokens), list(spans))
    left, whens = _without_times(tokens, spans)
    who, left = take_who(left)
    segments = _segments(read_numbers(left, known))
    if len(segments) > MOST_SEGMENTS:
        raise Unread("That is too much for one line; say it in several.")
    reader = ClauseReader(line, known)
    parts = _parts(segments, reader)
    if not parts:
        raise Unread(f'"{line.strip()}" is not understood; say it like: {EXAMPLE}.')
    found = []
    for ways in itertools.product(*(part.ways for part in parts)):
        for chosen in itertools.product(*(span.choices for span in spans)):
            times = list(zip(whens, chosen, strict=True))
            lists = _timed(list(zip(parts, ways, strict=True)), times)
            whole = [said for one in lists for said in one]
            found.append(tuple(_by_whom(said, who or by) for said in _promised(whole, promised)))
    return found


def _without_promise(tokens: list[Token], spans: list[WhenSpan]) -> tuple[list[Token], list[WhenSpan], WhenSpan | None]:
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


def _promised(whole: list[Said], promised: WhenSpan | None) -> list[Said]:
    if promised is None:
        return whole
    return [replace(said, promised=_day_to_come(promised)) if said.kind == "sent out" else said for said in whole]


def _day_to_come(span: WhenSpan) -> str:
    """The next such day; days are read as past ones otherwise."""
    return f"{span.to_come:%Y-%m-%d}"


def _by_whom(said: Said, who: str) -> Said:
    if not who or said.by or said.kind in ("sent out", "came back"):
        return said
    return replace(said, by=who)


def _without_times(tokens: Sequence[Token], spans: Sequence[WhenSpan]) -> tuple[list[Token], list[Token]]:
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
        times.append(Token(" ".join(one.text for one in some), "W", some[0].start, some[-1].stop))
        at = span.stop
        if not left and at < len(tokens) and tokens[at].code in (",", ":", "-"):
            at += 1
    return [*left, *tokens[at:]], times


_HAS_BEEN = frozenset("yesterday ago today earlier last now morning :".split())


def _is_weekday(token: Token) -> bool:
    return token.code[:3] in ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def _segments(tokens: Sequence[Token]) -> list[Segment]:
    found = [Segment([])]
    for at, token in enumerate(tokens):
        is_mark = token.code in _SOFT | _HARD and not (token.code in ("+", "then", "and") and _is_sum(tokens, at))
        if not is_mark:
            found[-1].tokens.append(token)
        elif found[-1].tokens:
            found.append(Segment([], token.code))
        elif token.code in _HARD:
            found[-1].mark = token.code
    return [one for one in found if one.tokens]


def _is_sum(tokens: Sequence[Token], at: int) -> bool:
    return any(one.code in ("Qang", "Qnm") for one in tokens[at + 1 : at + 2]) or (
        tokens[at].code == "+" and any(one.code.startswith("Q") for one in tokens[at + 1 : at + 2])
    )


def _parts(segments: Sequence[Segment], reader: ClauseReader) -> list[Part]:
    parts: list[Part] = []
    at = 0
    while at < len(segments):
        if parts and is_bag_of(parts[-1], segments[at]):
            follow(parts[-1], segments[at], reader, None)
            at += 1
            continue
        refusal: Unread | None = None
        taken = None
        for stop in range(at + 1, len(segments) + 1):
            if any(one.mark in _HARD for one in segments[at + 1 : stop]):
                break
            tokens = _merged(segments[at:stop])
            try:
                ways = reader.head(tokens)
            except Unread as why:
                refusal = refusal or why
                continue
            if ways and not (stop > at + 1 and parts and not _begins_with_numbers(tokens)):
                stop, ways = _with_more_numbers(segments, at, stop, ways, reader)
                tokens = _merged(segments[at:stop])
                taken = Part(ways, tokens[0].start, tokens[-1].stop, is_open=_ends_with_numbers(segments[stop - 1]))
                break
        if taken is not None:
            parts.append(taken)
            at = stop
            continue
        if not parts:
            raise refusal or Unread(
                f'"{reader.text_of(segments[at].tokens)}" is not understood; say it like: {EXAMPLE}.'
            )
        follow(parts[-1], segments[at], reader, refusal)
        at += 1
    return parts


def _with_more_numbers(
    segments: Sequence[Segment], at: int, stop: int, ways: list[list[Said]], reader: ClauseReader
) -> tuple[int, list[list[Said]]]:
    """``sent 38 and 39 to the shop``: a list of numbers that goes on into the next segment, with words behind it."""
    end = stop
    while end < len(segments) and segments[end].mark in _SOFT and _ends_with_numbers(segments[end - 1]):
        if segments[end].tokens[0].code not in ("#", "R") or _is_whole(segments[end], reader):
            break
        end += 1
        with suppress(Unread):
            if longer := reader.head(_merged(segments[at:end])):
                stop, ways = end, longer
    return stop, ways


def _is_whole(segment: Segment, reader: ClauseReader) -> bool:
    try:
        return bool(reader.head(segment.tokens))
    except Unread:
        return True


def _begins_with_numbers(tokens: Sequence[Token]) -> bool:
    return any(one.code in ("#", "R") for one in tokens[:3])


def _ends_with_numbers(segment: Segment) -> bool:
    codes = [one.code for one in segment.tokens]
    return codes[-1] in ("#", "R") or (codes[-2:-1] == ["#"] and codes[-1] in ("a", "b"))


def _merged(segments: Sequence[Segment]) -> list[Token]:
    found: list[Token] = []
    for at, one in enumerate(segments):
        if at:
            before = found[-1].stop
            found.append(Token(one.mark, one.mark, before, before))
        found += one.tokens
    return found


def _timed(parts: list[tuple[Part, list[Said]]], times: Sequence[tuple[Token, SaidWhen]]) -> list[list[Said]]:
    """Each time given to the part it stands in; one before all is of all.

    Raises
    ------
    Unread
        If a time at the end can be of the last part or of all, or a part has two.
    """
    told: list[list[SaidWhen]] = [[] for _ in parts]
    for token, when in times:
        if len(parts) > 1 and token.start < parts[0][0].start:
            for one in told:
                one.append(when)
            continue
        place = max((at for at, (part, _ways) in enumerate(parts) if part.start <= token.start), default=0)
        told[place].append(when)
    whens = [_one_when(some) for some in told]
    if len(parts) > 1 and any(whens) and not all(whens):
        raise Unread("It is not clear for which part the time is; put it first for all, or say it in two lines.")
    return [[_at_time(said, when) for said in ways] for (_part, ways), when in zip(parts, whens, strict=True)]


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
