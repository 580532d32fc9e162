"""What a person typed to find something: a number, a number with its end, or words."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass

from asfound.core.pins.numbering import TypedNumber, parse_tag_words
from asfound.core.words import query_words
from asfound.errors import Misused
from asfound.model.tags import EndLetter

_LABEL = re.compile(r"(?:tag|number|no\.?|nr\.?|#)\s*(?=\S)", re.IGNORECASE)
_BETWEEN = re.compile(r"\s+end\s+|\s*[-/]\s*|\s+")
LONGEST_NUMBER = 24
MOST_TYPED = 400
_UNITS = frozenset("mm mm2 cm m in inch way ways v volt a amp amps l litre off".split())


@dataclass(frozen=True, slots=True)
class Query:
    """What to look for.

    Attributes
    ----------
    typed : str
        As typed, trimmed.
    number : str or None
        Number of a known tag, or a number nobody has used yet when nothing else was typed.
    end : {"A", "B"} or None
    order : int or None
        2 for the second thing with the number.
    words : tuple of str
        Folded words, each phrase of the trade as one; the number is not among them when it was all that was typed.
    """

    typed: str
    number: str | None
    end: EndLetter | None
    order: int | None
    words: tuple[str, ...]


def parse_query(typed: str, known_numbers: Collection[str]) -> Query:
    """Read what was typed: a known number in any form first, else words with perhaps a known number among them.

    Parameters
    ----------
    typed : str
        "17b", "tag 17 end b", "black hose heat exchanger", "17 red wire".
    known_numbers : collection of str
        Numbers and other numbers (aliases) in use; pass a set.

    Raises
    ------
    Misused
        If nothing was typed.
    """
    text = typed.strip()
    if not text:
        raise Misused("Nothing was typed: type a number such as 17b, or words such as black hose.")
    for whole in dict.fromkeys((text, _LABEL.sub("", text, count=1) if _LABEL.match(text) else text)):
        read = parse_tag_words(whole, known_numbers)
        if _is_number(read, known_numbers):
            return Query(text, read.number, read.end, read.order, ())
    among = _number_among(text, known_numbers)
    if among is None:
        return Query(text, None, None, None, query_words(text))
    return Query(text, among.number, among.end, among.order, query_words(text))


def number_candidates(typed: str) -> frozenset[str]:
    """Texts among which every number that `parse_query` could see in what was typed is found.

    Give it the numbers in use that are among these, and it need not go through all of a job's.
    """
    text = typed.strip()[:MOST_TYPED]
    whole = (text, _LABEL.sub("", text, count=1))
    tokens = [token for one in (*whole, *text.split()) for token in (one, *_BETWEEN.split(one))]
    begun = {token[:stop] for token in tokens for stop in range(1, min(len(token), LONGEST_NUMBER) + 1)}
    return frozenset(begin.strip() for begin in begun if begin.strip())


def _is_number(read: TypedNumber, known_numbers: Collection[str]) -> bool:
    """A known number, or text that can only be meant as one."""
    return read.number in known_numbers or read.number.isdecimal()


def _number_among(text: str, known_numbers: Collection[str]) -> TypedNumber | None:
    """First known number among several words; one before a unit ("10 mm hose") is a size, not a number."""
    tokens = text.split()
    for token, after in zip(tokens, [*tokens[1:], ""], strict=True):
        # Only a number in the letters of its tag may do without a digit, or each word would be tried as an end.
        if token not in known_numbers and not any(letter.isdecimal() for letter in token):
            continue
        read = parse_tag_words(token, known_numbers)
        if read.number in known_numbers and after.casefold().strip(".,;") not in _UNITS:
            return read
    return None
