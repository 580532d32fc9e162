"""Phrases of the vocabulary as rules over the codes of a line, with the number before, behind or in between."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from asfound.core.typed import vocabulary as words

TAGGED: dict[str, tuple[str, str, tuple[str, ...]]] = {
    "off": ("off", "", words.OFF),
    "on": ("refitted", "", words.ON),
    "by hand": ("refitted", "by hand", words.BY_HAND),
    "tight": ("refitted", "tight", words.TIGHT),
    "torqued": ("refitted", "torqued", words.TORQUED),
    "marked": ("refitted", "marked", words.MARKED),
    "checked": ("refitted", "checked", words.CHECKED),
    "broken": ("broken", "", words.BROKEN),
    "cut": ("cut", "", words.CUT),
    "capped": ("capped", "", words.CAPPED),
    "plugged": ("plugged", "", words.PLUGGED),
    "uncapped": ("uncapped", "", words.UNCAPPED),
    "repaired": ("repaired", "", words.REPAIRED),
    "new part": ("new part", "", words.NEW_PART),
    "note": ("note", "", words.NEUTRAL),
    "stuck": ("snag", "", words.STUCK),
}
"""Name to event, how, and phrases."""


@dataclass(frozen=True, slots=True)
class Match:
    """What happened to the things of a "T": the rest begins at the code with this place."""

    kind: str
    how: str
    rest: int


def match_phrases(codes: str) -> list[Match]:
    """The readings of codes as something that happened to a "T", those that leave the fewest words over."""
    found: list[Match] = []
    for name, pattern in _patterns():
        match = pattern.match(codes)
        if match is not None:
            kind, how, _phrases = TAGGED[name]
            found.append(Match(kind, how, codes[: match.end()].count(" ") + 1))
    best = max((one.rest for one in found), default=0)
    return [one for one in found if one.rest == best]


def is_verb_word(code: str) -> bool:
    """Whether a word alone says what happened: such a word in the rest of a line is not swallowed into a note."""
    return code in _single_verbs()


@cache
def known_words() -> frozenset[str]:
    """Every word that a phrase has."""
    return frozenset(
        word
        for _k, _h, phrases in TAGGED.values()
        for phrase in phrases
        for part in phrase.split()
        for word in part.split("|")
    )


@cache
def _single_verbs() -> frozenset[str]:
    kinds = ("off", "on", "tight", "torqued", "cut", "capped", "plugged", "uncapped", "repaired", "new part", "broken")
    lone = {w for name in kinds for phrase in TAGGED[name][2] if " " not in phrase for w in phrase.split("|")}
    return frozenset(lone - {"on", "new", "assembled"})


@cache
def _patterns() -> tuple[tuple[str, re.Pattern[str]], ...]:
    return tuple(
        (name, re.compile(rf"(?:{'|'.join(_forms(phrases))})(?= |$)"))
        for name, (_kind, _how, phrases) in TAGGED.items()
    )


def _forms(phrases: Iterable[str]) -> Iterator[str]:
    """The longest first, as a phrase that is the beginning of another one would hide it."""
    for phrase in sorted(phrases, key=lambda one: -len(one.split())):
        parts = [f"(?:{part})" for part in phrase.split()]
        for cut in range(len(parts) + 1):
            yield " ".join([*parts[:cut], "T", *parts[cut:]])
