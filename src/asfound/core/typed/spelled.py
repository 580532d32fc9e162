"""Numbers in words, as a telephone writes down what is said: "forty one", "six and a half litres"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.core.typed import vocabulary as words

_TENS = {word: number for word, number in words.SPELLED.items() if number >= 20 and number % 10 == 0}
_ONES = {word: number for word, number in words.SPELLED.items() if 1 <= number <= 9 and word != "a"}
_NUMBER = rf"(?:\d+(?:\.\d+)?|(?:{'|'.join(_TENS)}) (?:{'|'.join(_ONES)})|{'|'.join(words.SPELLED)}|an)"
_PARTED = re.compile(
    rf"(?:{_NUMBER} and (?:a|one) (?:half|quarter)|{_NUMBER} point(?: {_NUMBER})+|half an?|half"
    rf"|(?:(?:a|one|three) )?quarters? of an?|{_NUMBER}) "
)
MOST_WORDS = 12


def in_figures(amount: str) -> str:
    """An amount with its number in figures: "forty five Nm" is "45 Nm", "a gallon and a half" is "1.5 gallon"."""
    about, said = re.match(r"(?:(?:about|around|nearly|almost|roughly|over|ca) )?", amount), amount.split(" ")
    if about and about[0]:
        return about[0] + in_figures(amount[about.end() :])
    codes = [word.casefold() for word in said]
    size = parted_at(codes)
    if not size or codes[0][0].isdecimal() or codes[:size] == ["half"]:
        return amount
    number, rest = _value(codes[:size]), said[size:]
    if [word.casefold() for word in rest[-3:]] == ["and", "a", "half"]:
        number, rest = number + 0.5, rest[:-3]
    return f"{number:g} {' '.join(rest)}"


def _value(codes: Sequence[str]) -> float:
    text = " ".join(codes)
    if "quarter" in codes[:2] or "quarters" in codes:
        return 0.75 if codes[0] == "three" else 0.25
    if codes[0] == "half":
        return 0.5
    whole, _, part = text.partition(" and ")
    whole, _, behind = whole.partition(" point ")
    broken = {"": 0.0, "a half": 0.5, "one half": 0.5, "a quarter": 0.25, "one quarter": 0.25}[part]
    digits = "".join(str(_whole([one])) for one in behind.split())
    return float(f"{_whole(whole.split())}.{digits or 0}") + broken


def _whole(codes: Sequence[str]) -> int:
    return sum(1 if code == "an" else int(words.SPELLED.get(code, code)) for code in codes)


def number_at(codes: Sequence[str]) -> tuple[int, int]:
    """A number in two words at the beginning of codes: how many words, and the number; 0, 0 for none."""
    if len(codes) > 1 and codes[0] in _TENS and codes[1] in _ONES:
        return 2, _TENS[codes[0]] + _ONES[codes[1]]
    return 0, 0


def parted_at(codes: Sequence[str]) -> int:
    """How many words at the beginning are a number, a broken one too; its unit stands behind it."""
    found = _PARTED.match(" ".join(codes) + " ")
    return found[0].count(" ") if found else 0
