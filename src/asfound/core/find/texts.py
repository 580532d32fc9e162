"""Words under which something is found, and words to look for: folded, trade pairs in their first spelling.

A phrase of the trade is one word here, joined with underscores. Marks such as D+ are spelled out, for plus and minus
are no letters.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import SequenceMatcher
from functools import lru_cache

from asfound.core.codes.colour_readings import parse_colour
from asfound.core.find.counted import LABEL_LETTERS, Counted
from asfound.core.find.terms import Term, terms_of
from asfound.core.words import colour_words, fold, query_words, search_words

LEAST_ALIKE = 0.74
"""Share of letters that a misspelt word must have in common with the one meant; below it words are just other words."""

BEGUN_GAIN = 0.15
"""How much of what a word is unlike is made good by each of its first four letters that is the same."""

_SIGNED = re.compile(r"(?<!\w)([A-Za-z])([+-])(?!\w)")
_SIGNS = {"+": "plus", "-": "minus"}
_ZEROS = re.compile(r"(?<!\d)0+(?=\d)")


@lru_cache(maxsize=8192)
def words_of(text: str) -> str:
    """The words of a text as they are kept for searching."""
    return " ".join(map(_joined, search_words(_spelled_out(text))))


def words_of_number(number: str) -> str:
    """A number as it is kept for searching: as written, and without leading zeros."""
    folded = fold(number.strip())
    return " ".join(dict.fromkeys((*words_of(number).split(), _ZEROS.sub("", folded).replace(" ", "_"))))


@lru_cache(maxsize=1024)
def words_of_colour(colour: str) -> str:
    """A colour as it is kept: its codes, their names, and the code of IEC 60757 for all of it."""
    read = parse_colour(colour).colour
    told = f"{read.words} {read.iec}" if read else ""
    return " ".join(dict.fromkeys(map(_joined, (*colour_words(colour), *search_words(told)))))


def words_of_terminal(mark: str) -> str:
    """A terminal's mark as it is kept."""
    return words_of(f"terminal {mark}") if mark.strip() else ""


def asked_words(typed: str) -> tuple[str, ...]:
    """Words to look for when a person typed this."""
    return tuple(map(_joined, query_words(_spelled_out(typed))))


def asked_terms(words: Iterable[str]) -> tuple[Term, ...]:
    """What folded words ask for, with every spelling as it is kept."""
    terms = terms_of(word.replace("_", " ") for word in words)
    return tuple(Term(tuple(tuple(map(_joined, spelling)) for spelling in term.spellings)) for term in terms)


def counted_term(counted: Counted) -> Term:
    """A word with its number standing beside it, in every spelling of the word; "bag 7" is also B7, "snag 9" N9."""
    (term,) = asked_terms(query_words(counted.word))
    beside = [(*spelling[:-1], f"{spelling[-1]} {counted.mark}") for spelling in term.spellings]
    letter = LABEL_LETTERS.get(counted.word)
    label = [] if letter is None else [(counted.word, f"{letter}{counted.mark}")]
    return Term((*beside, *label))


def is_called(counted: Counted, text: str) -> bool:
    """Whether a text holds the word that is counted, in any spelling."""
    held = set(words_of(text).split())
    (term,) = asked_terms(query_words(counted.word))
    return any(held.issuperset(spelling) for spelling in term.spellings)


def likeliest(word: str, candidates: list[str]) -> str | None:
    """The word that was most likely meant, None when none is like it enough; of equals the first one given.

    The beginning of a word is mostly typed right: its first letter must be, and of words alike, who shares more of the
    beginning is meant ("silensor" is a silencer, no sensor).
    """
    best, nearness = None, 0.0
    for candidate in candidates:
        alike = SequenceMatcher(None, word, candidate).ratio() if candidate[:1] == word[:1] else 0.0
        begun = BEGUN_GAIN * sum(word[:at] == candidate[:at] for at in range(1, 5))
        if alike > LEAST_ALIKE and alike + begun * (1 - alike) > nearness:
            best, nearness = candidate, alike + begun * (1 - alike)
    return best


def _spelled_out(text: str) -> str:
    return _SIGNED.sub(lambda match: match[1] + _SIGNS[match[2]], text)


def _joined(word: str) -> str:
    return word.replace(" ", "_")
