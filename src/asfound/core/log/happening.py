"""What happened, in one typed line: numbers, what it was, the bag, what else to know, and when it was.

17 off bag 4 clip rusted
18, 19 on tight
yesterday 14:20 off 17
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from asfound.core.log.said_when import SaidWhen, splits
from asfound.core.refit.amounts import is_torque
from asfound.core.words import fold
from asfound.errors import Misused
from asfound.model.log import HAPPENINGS, HOW_REFITTED

BACK_IN_PLACE = "back in place"
EXAMPLE = "17 off bag 4 clip rusted"

TIMED_EXAMPLE = "yesterday 14:20 17 off"

_KINDS = {kind: (kind, "") for kind in HAPPENINGS}
_KINDS |= {"came off": ("off", ""), "on": ("refitted", ""), "back on": ("refitted", "")}
_KINDS |= {
    f"{before}{how}": ("refitted", how) for how in HOW_REFITTED for before in ("", "on ", "refitted ", "back on ")
}
_LONGEST = max(len(words.split()) for words in _KINDS)
_JOINING = frozenset({"and", "&", "+"})
_INTO = frozenset({"in", "into", "to"})


@dataclass(frozen=True, slots=True)
class Happening:
    """One line as it was understood.

    Attributes
    ----------
    numbers : tuple of str
        As typed, an end's letter with them.
    kind, how : str
        One of `HAPPENINGS`, and of `HOW_REFITTED` for "refitted" where it was said.
    bag : str
        Its label as typed, or "back in place"; empty when none was said.
    note : str
        Whatever else was typed.
    when : SaidWhen or None
        None where no time was typed.
    """

    numbers: tuple[str, ...]
    kind: str
    how: str = ""
    bag: str = ""
    note: str = ""
    when: SaidWhen | None = None


def parse_happening(line: str, today: date) -> Happening:
    """Read a line. A time or a day stands first or last; the number stands before what happened, or right behind it.

    Raises
    ------
    Misused
        If no number stands there, or nothing says what happened.
    """
    words = line.replace(",", " , ").split()
    for when, rest, is_behind in splits(words, today):
        said = _parse(rest)
        # What is to be noted may end with a day that means something else: "ring the shop monday".
        if said is not None and not (is_behind and said.kind == "note"):
            return replace(said, when=when)
    known = ", ".join(dict.fromkeys(("off", "on", *HOW_REFITTED, *HAPPENINGS[2:])))
    raise Misused(f"Begin with the number, then say what happened: {EXAMPLE}. It can be: {known}.")


def said_of(label: str, line: str) -> str:
    """A line with a thing's label put in front of what happened, unless a number stands there already.

    The line may begin with a time, or be empty: of 17, "off" is "17 off" and "14:20 off" is "14:20 17 off".
    """
    words = line.replace(",", " , ").split()
    _, rest, is_behind = splits(words, date(2000, 1, 1))[0]  # the day changes what a time means, not where it stands
    if rest and any(letter.isdecimal() for letter in rest[0]):
        return line
    at = 0 if is_behind else len(words) - len(rest)
    return " ".join([*words[:at], label, *words[at:]]).replace(" , ", ", ")


def _parse(words: list[str]) -> Happening | None:
    words = _number_first(words)
    at, size = next(((at, size) for at in range(1, len(words)) if (size := _kind_words(words, at))), (0, 0))
    if not size and len(words) > 1 and is_torque(" ".join(words[1:])):
        return Happening((words[0],), "torque", note=" ".join(words[1:]).replace(" , ", ", "))
    numbers = tuple(word for word in words[:at] if word != "," and fold(word) not in _JOINING)
    if not size or not numbers:
        return None
    kind, how = _KINDS[fold(" ".join(words[at : at + size]))]
    bag, rest = _take_bag(words[at + size :])
    return Happening(numbers, kind, how, bag, " ".join(rest).replace(" , ", ", ").strip(" ,:;"))


def _number_first(words: list[str]) -> list[str]:
    """``off 17, 18 bag 4`` as ``17, 18 off bag 4``: of numbers behind what happened, those joined to the first."""
    while words[:1] == [","]:
        words = words[1:]
    size = _kind_words(words, 0)
    end = size
    while end < len(words) and words[end][0].isdecimal() and (end == size or _joins(words[end - 1])):
        end += 1
        while end + 1 < len(words) and _joins(words[end]) and (words[end + 1][0].isdecimal() or _joins(words[end + 1])):
            end += 1
    return [*words[size:end], *words[:size], *words[end:]] if size else words


def _joins(word: str) -> bool:
    return word == "," or fold(word) in _JOINING


def _kind_words(words: Sequence[str], at: int) -> int:
    """How many words from here on say what happened, the most that do."""
    sizes = range(min(_LONGEST, len(words) - at), 0, -1)
    return next((size for size in sizes if fold(" ".join(words[at : at + size])) in _KINDS), 0)


def _take_bag(words: list[str]) -> tuple[str, list[str]]:
    """The bag, where one is named by a label with a digit in it, and the other words."""
    folded = [fold(word) for word in words]
    for at, word in enumerate(folded):
        if folded[at : at + 3] == BACK_IN_PLACE.split():
            return BACK_IN_PLACE, words[:at] + words[at + 3 :]
        if word == "bag" and at + 1 < len(words) and any(letter.isdecimal() for letter in words[at + 1]):
            start = at - 1 if at and folded[at - 1] in _INTO else at
            return words[at + 1], words[:start] + words[at + 2 :]
    return "", words
