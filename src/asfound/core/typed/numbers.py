"""Numbers of things in a line: lists, ranges, ends, the second of its number; whether anybody has them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from asfound.core.pins.numbering import parse_tag_words
from asfound.core.typed import vocabulary as words
from asfound.core.typed.said import KnownNames, Unread
from asfound.core.typed.tokens import Token

MOST_IN_RANGE = 60
_JOINS = frozenset({",", "and", "&", "+", "/", "plus", "as", "well"})
_TO = frozenset({"to", "till", "thru", "through", "until", "-", ".."})
_FIRST = {"first": 1, "1st": 1, "second": 2, "2nd": 2, "third": 3, "3rd": 3}
_END = re.compile(r"(?:end|ends|side)?")


def join_numbers(tokens: Sequence[Token]) -> list[Token]:
    """Put numbers that stand together, with the nouns beside them, into one "T"."""
    found: list[Token] = []
    at = 0
    while at < len(tokens):
        size, labels = _list_at(tokens, at)
        if not size:
            found.append(tokens[at])
            at += 1
            continue
        start, stop = tokens[at].start, tokens[at + size - 1].stop
        start = _take_nouns(found) or start
        found.append(Token(" ".join(labels), "T", start, stop, labels))
        at += size
        at += _nouns_behind(tokens, at)
    return found


def _take_nouns(found: list[Token]) -> int:
    """Take the words off that say which thing a number is on: "the upper hose"; where they begin, 0 for none."""
    place = len(found)
    while place and found[place - 1].code in words.FILLERS:
        place -= 1
    if not place or found[place - 1].code not in words.THINGS - {"parts", "part"} | {
        "n/s",
        "o/s",
        "nearside",
        "offside",
    }:
        return 0
    while place and found[place - 1].code in words.THINGS | words.DESCRIBERS - {"off"}:
        place -= 1
    if place and found[place - 1].code in words.IN_ROWS:
        raise Unread(f'"{found[place - 1].text}" with a number can be its place in a row; say tag and the number.')
    start = found[place].start
    del found[place:]
    return start


def _nouns_behind(tokens: Sequence[Token], at: int) -> int:
    size = 0
    while at + size < len(tokens) and tokens[at + size].code in words.DESCRIBERS - {"off"}:
        size += 1
    end = at + size
    if end < len(tokens) and tokens[end].code in words.THINGS - {"plugs", "union", "parts", "part", "no", "number"}:
        return size + 1
    return 0


def _list_at(tokens: Sequence[Token], at: int) -> tuple[int, tuple[str, ...]]:
    labels: list[str] = []
    end = at
    while True:
        size, some = _one_at(tokens, end)
        if not size:
            return (_before_joins(tokens, at, end), tuple(labels)) if labels else (0, ())
        labels += some
        end += size
        letters, more = _more_ends(tokens, end, labels[-1])
        labels += more
        end += letters
        while end < len(tokens) and (tokens[end].code in _JOINS or _joins_nouns(tokens, end)):
            end += 1


def _joins_nouns(tokens: Sequence[Token], at: int) -> bool:
    """Whether a noun or "the" here stands before a further number of the list."""
    code = tokens[at].code
    if code not in words.THINGS | words.FILLERS or (
        at and tokens[at - 1].code not in _JOINS | words.FILLERS | words.THINGS
    ):
        return False
    after = next((one for one in tokens[at + 1 :] if one.code not in words.THINGS | words.FILLERS), None)
    return after is not None and after.code in ("#", "R")


def _before_joins(tokens: Sequence[Token], at: int, end: int) -> int:
    while end > at and (tokens[end - 1].code in _JOINS or tokens[end - 1].code in words.THINGS | words.FILLERS):
        end -= 1
    return end - at


def _one_at(tokens: Sequence[Token], at: int) -> tuple[int, list[str]]:
    """One number with its end, or a range."""
    code = tokens[at].code if at < len(tokens) else ""
    after = [one.code for one in tokens[at + 1 : at + 4]]
    if code in _FIRST and after[:1] == ["#"] and tokens[at + 1].of[0].isdecimal():
        return 2, [f"{tokens[at + 1].of[0]}.{_FIRST[code]}"]
    if code in ("end", "side") and after[:1] and after[0] in ("a", "b") and after[1:3] == ["of", "#"]:
        return 4, [tokens[at + 3].of[0] + after[0]]
    if code in ("a", "b") and after[:3] == ["end", "of", "#"]:
        return 4, [tokens[at + 3].of[0] + code]
    if code in ("a", "b") and after[:2] == ["of", "#"]:
        return 3, [tokens[at + 2].of[0] + code]
    if code == "both" and after[:3] == ["ends", "of", "#"]:
        return 4, [tokens[at + 3].of[0]]
    if code == "R":
        low, mark, high = tokens[at].of
        return 1, [low, high] if mark == "/" else _range(low, high)
    if code != "#":
        return 0, []
    label = tokens[at].of[0]
    if after[:1] and after[0] in _TO and after[1:2] == ["#"]:
        return 3, _range(label, tokens[at + 2].of[0])
    if after[:1] and after[0] in ("end", "side", "/") and after[1:2] and after[1] in ("a", "b"):
        return 3, [label + after[1]]
    if after[:2] and after[0] in ("a", "b") and after[1:2] == ["end"]:
        return 3, [label + after[0]]
    if after[:1] == ["b"] or (after[:1] == ["a"] and (tokens[at + 1].text == "A" or _stands_as_end(tokens, at + 1))):
        return 2, [label + after[0]]
    return 1, [label]


def _stands_as_end(tokens: Sequence[Token], at: int) -> bool:
    """Whether an "a" is an end and no article: what comes next is no noun."""
    after = tokens[at + 1].code if at + 1 < len(tokens) else ","
    return after in {",", "and", "&", "+", "off", "on", "end", "is", "back", "capped", "removed", "disconnected"}


def _more_ends(tokens: Sequence[Token], at: int, label: str) -> tuple[int, list[str]]:
    """``17a and b``, ``17a+b``: the other end of the same number."""
    codes = [one.code for one in tokens[at : at + 2]]
    if label[-1:] in ("a", "b") and codes[:1] and codes[0] in ("and", "&", "+", "/", ",") and codes[1:2]:
        if codes[1] == ("b" if label[-1] == "a" else "a"):
            return 2, [label[:-1] + codes[1]]
    return 0, []


def _range(low: str, high: str) -> list[str]:
    if not (low.isdecimal() and high.isdecimal()):
        raise Unread(f"{low} to {high} is no range of numbers; name them one by one.")
    first, last = int(low), int(high)
    if not first < last <= first + MOST_IN_RANGE:
        raise Unread(f"{low} to {high} is no range that goes up, by {MOST_IN_RANGE} at most; name the numbers.")
    return [str(number) for number in range(first, last + 1)]


def unknown_of(labels: Iterable[str], known: KnownNames) -> list[str]:
    """Those that name nothing the job has."""
    return [label for label in labels if not _has(label, known)]


def _has(label: str, known: KnownNames) -> bool:
    said = parse_tag_words(label, set(known.tags))
    count = known.tags.get(said.number, 0)
    return said.order <= count if said.order is not None else count > 0


def doubtful_of(labels: Iterable[str], known: KnownNames) -> list[tuple[str, tuple[str, ...]]]:
    """Numbers that several things have and of which nothing says which is meant, each with the labels that do."""
    found = []
    for label in labels:
        said = parse_tag_words(label, set(known.tags))
        count = known.tags.get(said.number, 0)
        if said.order is None and count > 1:
            end = (said.end or "").lower()
            found.append((label, tuple(f"{said.number}.{order}{end}" for order in range(1, count + 1))))
    return found


def with_label(labels: tuple[str, ...], old: str, new: str) -> tuple[str, ...]:
    """The labels with one of them said more exactly."""
    return tuple(new if label == old else label for label in labels)


def end_of(label: str, known: KnownNames) -> str:
    """The end that a label names, "A" or "B"; empty for the whole thing."""
    return parse_tag_words(label, set(known.tags)).end or ""


def retagged(token: Token, labels: tuple[str, ...]) -> Token:
    """A "T" with other numbers."""
    return replace(token, of=labels)
