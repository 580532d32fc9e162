"""Numbers on tape: what a person typed, their natural order, and how they read upside down.

Numbers are text: "007", "12x" and "17b" are all fine, and the same number may be on two things. This module only reads
and compares them; which thing a number belongs to is the store's business.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from asfound.errors import Misused
from asfound.model.tags import EndLetter

LARGEST_HOLE = 10
"""A longer hole is a jump to a new series (100s for cooling, 200s for electrics), not numbers missing."""

LONGEST_RANGE = 60
"""More numbers than a person means in one go: a longer range is a slip."""

_RANGE = re.compile(r"([0-9]{1,6})\s*(?:-|\.\.|–)\s*([0-9]{1,6})")
_TURNED = {"0": "0", "1": "1", "6": "9", "8": "8", "9": "6"}
_LETTERS: dict[str, EndLetter] = {"a": "A", "b": "B"}
_ENDED = re.compile(r"(?P<stem>.*?)(?P<gap>\s*|\s+end\s+|\s*[-/]\s*)(?P<letter>[abAB])", re.DOTALL)
_ORDERED = re.compile(r"(?P<stem>.+)\.(?P<order>[1-9][0-9]*)", re.DOTALL)
_COUNTED = re.compile(r"(?P<series>[^0-9]*)(?P<count>[0-9]+)")


@dataclass(frozen=True, slots=True)
class TypedNumber:
    """What a person meant by "17b" or "12.2".

    Attributes
    ----------
    number : str
        As it is spelled on the known tag, or as typed when no tag has it.
    end : {"A", "B"} or None
    order : int or None
        2 for the second thing with this number; None when not said.
    """

    number: str
    end: EndLetter | None = None
    order: int | None = None


def parse_tag_words(typed: str, known_numbers: Collection[str]) -> TypedNumber:
    """Read a typed tag: a known number as it stands wins, then an end letter, then ".2" for the second of its number.

    Parameters
    ----------
    typed : str
        "17", "17b", "17 B", "17 end b", "12.2", "12.2b".
    known_numbers : collection of str
        Numbers in use. Pass a set: a list is searched from its start.

    Returns
    -------
    TypedNumber
        With the known spelling of the number when one is known.

    Raises
    ------
    Misused
        If nothing was typed.

    Examples
    --------
    >>> parse_tag_words("17b", {"17"})
    TypedNumber(number='17', end='B', order=None)
    >>> parse_tag_words("17b", {"17", "17b"})
    TypedNumber(number='17b', end=None, order=None)
    """
    text = typed.strip()
    if not text:
        raise Misused("No number was typed: type the number on the tape, with a or b for its end, such as 17b.")
    spellings = _spellings(text, known_numbers)
    ended = _split_end(text)
    for stem, end in ((text, None), ended) if ended else ((text, None),):
        if stem in spellings:
            return TypedNumber(spellings[stem], end)
        ordered = _ORDERED.fullmatch(stem)
        if ordered and ordered["stem"] in spellings:
            return TypedNumber(spellings[ordered["stem"]], end, int(ordered["order"]))
    # No tag has it yet. "47b" is end B of a new 47, but the b of "grab" is no end: only a digit can carry one.
    if ended and ended[0][-1] in "0123456789":
        return TypedNumber(*ended)
    return TypedNumber(text)


def spread_numbers(typed: Iterable[str], known_numbers: Collection[str]) -> list[str]:
    """Numbers typed together, one by one: ``17-19``, ``17,18`` and ``17 18``; a known number as it stands wins.

    Raises
    ------
    Misused
        If a range does not go up, or is longer than `LONGEST_RANGE`.

    Examples
    --------
    >>> spread_numbers(["17-19", "4,5b"], {"4"})
    ['17', '18', '19', '4', '5b']
    """
    found: list[str] = []
    for word in typed:
        if parse_tag_words(word, known_numbers).number in known_numbers:
            found.append(word)
        elif "," in word:
            found += spread_numbers([one for one in word.split(",") if one.strip()], known_numbers)
        elif ranged := _RANGE.fullmatch(word.strip()):
            low, high = int(ranged[1]), int(ranged[2])
            if not low < high <= low + LONGEST_RANGE:
                raise Misused(f"{word.strip()} is no range of at most {LONGEST_RANGE} numbers that goes up.")
            found += [str(number) for number in range(low, high + 1)]
        else:
            found.append(word)
    return found


def sort_key(number: str) -> tuple[tuple[tuple[int, int, str], ...], str]:
    """Key for the natural order: 2 before 10, 12 before 12x; numbers that differ only in zeros or case stay apart."""
    pieces = re.findall(r"[0-9]+|[^0-9]+", number.strip().casefold())
    return tuple(_piece_key(piece) for piece in pieces), number


def upside_down(number: str) -> str | None:
    """Read a number with the tape turned round; the number itself when it reads the same, None when it cannot be read.

    Examples
    --------
    >>> upside_down("91"), upside_down("88"), upside_down("17")
    ('16', '88', None)
    """
    turned = [_TURNED.get(digit) for digit in reversed(number.strip())]
    readable = [digit for digit in turned if digit is not None]
    return "".join(readable) if readable and len(readable) == len(turned) else None


def confusable_numbers(numbers: Iterable[str]) -> list[tuple[str, str]]:
    """Pairs of numbers in use that are each other upside down, such as 6 and 9, in natural order."""
    in_use = {number.strip() for number in numbers}
    pairs = ((number, upside_down(number)) for number in sorted(in_use, key=sort_key))
    return [(one, other) for one, other in pairs if other in in_use and sort_key(one) < sort_key(other)]


def near_numbers(number: str, in_use: Iterable[str], most: int = 5) -> list[str]:
    """Numbers in use that could have been meant by one that is not: it with other zeros or in other letters, it upside
    down, then those that differ in one character, those nearest in count first.

    Examples
    --------
    >>> near_numbers("009", ["6", "8", "9", "19"]), near_numbers("61", ["19", "16", "17", "60"])
    (['9'], ['19', '60'])
    """
    typed = number.strip()
    known = sorted({one.strip() for one in in_use} - {typed}, key=sort_key)
    same = [one for one in known if sort_key(one)[0] == sort_key(typed)[0]]
    turned = [one for one in known if one == upside_down(typed)]
    slips = [one for one in known if _is_one_slip_away(typed.casefold(), one.casefold())]
    slips.sort(key=lambda one: _count_apart(typed, one))
    return list(dict.fromkeys([*same, *turned, *slips]))[:most]


def missing_in_run(numbers: Iterable[str]) -> list[str]:
    """Numbers that a run skips, in natural order.

    "12x" and "12.2" count as 12. Each series of letters ("W1", "W2", "W4") is a run of its own, from its lowest to its
    highest number; a hole wider than `LARGEST_HOLE` starts a new run. Leading zeros follow the number before the hole.
    """
    runs: dict[str, dict[int, str]] = {}
    for number in sorted({number.strip() for number in numbers}, key=sort_key):
        counted = _COUNTED.match(number)
        # Eighteen digits are more than any roll of tape carries; longer ones are serial numbers, not a run.
        if counted and len(counted["count"]) <= 18:
            runs.setdefault(counted["series"], {}).setdefault(int(counted["count"]), counted["count"])
    missing = [f"{series}{number}" for series, run in runs.items() for number in _holes(run)]
    return sorted(missing, key=sort_key)


def _spellings(text: str, known_numbers: Collection[str]) -> dict[str, str]:
    """Every beginning of what was typed that is a known number, with the spelling the tag has.

    A number in another case ("12X" for "12x") counts, but the same spelling goes first.
    """
    stems = {text}
    ended = _split_end(text)
    if ended:
        stems.add(ended[0])
    stems |= {ordered["stem"] for stem in stems if (ordered := _ORDERED.fullmatch(stem))}
    found = {stem: stem for stem in stems if stem in known_numbers}
    unfound = {stem.casefold(): stem for stem in stems if stem not in found}
    if unfound:
        for number in sorted(known_numbers, reverse=True):
            stem = unfound.get(number.strip().casefold())
            if stem is not None:
                found[stem] = number
    return found


def _split_end(text: str) -> tuple[str, Literal["A", "B"]] | None:
    ended = _ENDED.fullmatch(text)
    if ended is None or not ended["stem"]:
        return None
    return ended["stem"], _LETTERS[ended["letter"].lower()]


def _piece_key(piece: str) -> tuple[int, int, str]:
    # Compared by length, then digit by digit: a number of any length sorts, which int() would refuse past 4300 digits.
    if piece[0] in "0123456789":
        digits = piece.lstrip("0")
        return 0, len(digits), digits
    return 1, 0, piece


def _is_one_slip_away(one: str, other: str) -> bool:
    """Whether one character too many, too few or another makes the one of the other; of single ones none is near."""
    short, long = sorted((one, other), key=len)
    if len(long) - len(short) > 1 or len(long) < 2:
        return False
    begun = next((at for at, (a, b) in enumerate(zip(short, long, strict=False)) if a != b), len(short))
    return short[begun + (len(short) == len(long)) :] == long[begun + 1 :]


def _count_apart(one: str, other: str) -> int:
    """How far apart two counts are; what is no count, or longer than any, comes last."""
    counts = [int(text) if text.isdecimal() and len(text) <= 18 else None for text in (one, other)]
    return 10**18 if counts[0] is None or counts[1] is None else abs(counts[0] - counts[1])


def _holes(run: dict[int, str]) -> list[str]:
    counts = sorted(run)
    return [
        str(number).zfill(len(run[low]) if run[low].startswith("0") else 0)
        for low, high in pairwise(counts)
        if high - low - 1 <= LARGEST_HOLE
        for number in range(low + 1, high)
    ]
