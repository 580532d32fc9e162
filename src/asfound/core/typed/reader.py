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
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime

from asfound.core.log.said_when import WhenSpan, find_whens
from asfound.core.typed.alike import said_apart, without_labels
from asfound.core.typed.clauses import ClauseReader
from asfound.core.typed.doubts import refuse_open_line
from asfound.core.typed.following import follow, is_bag_of
from asfound.core.typed.free_text import read_free
from asfound.core.typed.numbers import unknown_of
from asfound.core.typed.said import KnownNames, Reading, ReadLine, Said, Unread
from asfound.core.typed.spelled import in_figures
from asfound.core.typed.times import choose, is_amount, timed, with_promise, without_promise, without_times
from asfound.core.typed.tokens import Token, read_numbers, split_line
from asfound.core.typed.who import take_lead, take_who

EXAMPLE = "17 off bag 4 clip rusted"
MOST_SEGMENTS = 10
_SOFT = frozenset({",", "and", "&", "plus", "+", "-"})
_HARD = frozenset({";", ".", "!", "|", "then", "but", "(", ")", "..."})


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
        left = without_labels(readings[0], unknown) if len(readings) == 1 else ()
        return ReadLine((left,) if left else (), f"There is no {named} in this job. Nothing was written.")
    wide = [one for reading in readings for one in said_apart(reading, known)]
    if len(wide) == 1:
        return ReadLine((wide[0],))
    return ReadLine(tuple(wide), f'"{line.strip()}" can mean {len(wide)} things. Nothing was written.')


def _readings(line: str, known: KnownNames, now: datetime) -> list[Reading]:
    tokens = _without_start(split_line(line))
    if not tokens:
        return []
    _refuse_open_end(tokens)
    by, tokens = take_lead(tokens)
    spans = [one for one in find_whens([one.text for one in tokens], now) if not is_amount(one, tokens)]
    if (free := read_free(line, tokens, spans, known)) is not None:
        return [tuple(replace(said, by=said.by or by) for said in free)]
    found: dict[Reading, None] = {}
    refusal: Unread | None = None
    for chosen in choose(spans):
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


def _read_with(
    line: str, tokens: Sequence[Token], spans: Sequence[WhenSpan], known: KnownNames, by: str
) -> list[Reading]:
    tokens, spans, promised = without_promise(list(tokens), list(spans))
    left, whens = without_times(tokens, spans)
    who, left = take_who(left)
    refuse_open_line(_until_mark(left))
    _refuse_no_before_number(line, left)
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
            starts = [part.start for part in parts]
            lists = timed(list(zip(starts, ways, strict=True)), times)
            whole = [said for one in lists for said in one]
            found.append(tuple(_finished(said, who or by) for said in with_promise(whole, promised)))
    return found


def _until_mark(tokens: Sequence[Token]) -> list[Token]:
    """The words of what is said first, without the remarks behind it."""
    return list(itertools.takewhile(lambda one: one.code not in _HARD | {",", "-"}, tokens))


def _without_start(tokens: list[Token]) -> list[Token]:
    """The line without words that only lead up to it."""
    return tokens[3:] if [one.code for one in tokens[:3]] == ["went", "ahead", "and"] else tokens


def _refuse_open_end(tokens: Sequence[Token]) -> None:
    """Refuse a line that is not finished, or ends in an end that stands beside no number."""
    last = tokens[-1]
    if last.code in ("and", "but", "then", "or", "plus", "&", "+"):
        raise Unread(f'What follows "{last.text}" is missing.')
    before = tokens[-2].code if len(tokens) > 1 else ""
    if last.code in ("a", "b") and before not in ("end", "side", "/", *_SOFT) and not before[:1].isdecimal():
        raise Unread("Say the end with the number, such as 17a.")


def _refuse_no_before_number(line: str, tokens: Sequence[Token]) -> None:
    """``17 off, no 18`` is a number, or a slip put right."""
    for before, one, after in zip(tokens, tokens[1:], tokens[2:], strict=False):
        is_behind = before.code in _SOFT | _HARD or before.code[:1].isdecimal()
        if is_behind and one.code == "no" and line[one.stop : one.stop + 1] != "." and after.code[:1].isdecimal():
            raise Unread(f'"no {after.text}" can be a number, or a correction; leave out "no".')


def _finished(said: Said, who: str) -> Said:
    """With its amount in figures, and who did it."""
    said = replace(said, amount=in_figures(said.amount))
    if not who or said.by or said.kind in ("sent out", "came back"):
        return said
    return replace(said, by=who)


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
