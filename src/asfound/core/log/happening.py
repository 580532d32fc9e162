"""What happened, in one typed line: numbers, what it was, the bag, and what else to know.

17 off bag 4 clip rusted
18, 19 on tight
"""

from __future__ import annotations

from dataclasses import dataclass

from asfound.core.words import fold
from asfound.errors import Misused
from asfound.model.log import HAPPENINGS, HOW_REFITTED

BACK_IN_PLACE = "back in place"
EXAMPLE = "17 off bag 4 clip rusted"

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
    """

    numbers: tuple[str, ...]
    kind: str
    how: str = ""
    bag: str = ""
    note: str = ""


def parse_happening(line: str) -> Happening:
    """Read a line.

    Raises
    ------
    Misused
        If it does not begin with a number, or nothing says what happened.
    """
    words = line.replace(",", " , ").split()
    at, size = next(((at, size) for at in range(len(words)) if (size := _kind_words(words, at))), (0, 0))
    numbers = tuple(word for word in words[:at] if word != "," and fold(word) not in _JOINING)
    if not size or not numbers:
        known = ", ".join(dict.fromkeys(("off", "on", *HOW_REFITTED, *HAPPENINGS[2:])))
        raise Misused(f"Begin with the number, then say what happened: {EXAMPLE}. It can be: {known}.")
    kind, how = _KINDS[fold(" ".join(words[at : at + size]))]
    bag, rest = _take_bag(words[at + size :])
    return Happening(numbers, kind, how, bag, " ".join(rest).replace(" , ", ", ").strip(" ,:;"))


def _kind_words(words: list[str], at: int) -> int:
    """How many words from here on say what happened, the most that do."""
    sizes = range(min(_LONGEST, len(words) - at), 0, -1)
    return next((size for size in sizes if at and fold(" ".join(words[at : at + size])) in _KINDS), 0)


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
