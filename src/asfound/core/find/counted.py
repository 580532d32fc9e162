"""A number behind a word that says what it counts: "injector 3" is the third injector, "terminal 50" a mark.

It is then no number of a tag.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from asfound.core.words import fold, singular

IN_A_ROW = frozenset(
    "mount mounting foot feet injector nozzle cylinder plug piston rod valve tappet lifter follower pushrod rocker "
    "bearing cap journal coil lead pump belt clip clamp bolt stud nut relay solenoid filter tank".split()
)
"""Things of which an engine has several, counted from one end."""

MARKED = frozenset("terminal term pin pole post fuse way bin box can drawer shelf step cyl slot hole groove".split())
"""Things that have a mark of their own."""

LABEL_LETTERS = {"bag": "b", "snag": "n"}
"""How most labels of these begin; a person leaves it out."""

_COUNTED = re.compile(
    r"(?<!\w)(?P<word>[^\W\d_]+)\s+(?:(?:no\.?|nr\.?|number|#)\s*)?(?P<mark>\d{1,3}[a-z]?)(?![\w.]*\w)", re.IGNORECASE
)
_ORDINAL = re.compile(r"(?<!\w)(?P<mark>\d{1,2})(?:st|nd|rd|th)\s+(?P<word>[^\W\d_]+)(?!\w)", re.IGNORECASE)


class Counted(NamedTuple):
    """A word with the number that goes with it, and what else was typed.

    `place` is the number as a count from 1; None where it can only be a mark.
    """

    typed: str
    word: str
    mark: str
    place: int | None
    rest: str

    @property
    def without_mark(self) -> str:
        """What was typed but for the number."""
        return f"{self.rest} {self.word}".strip()

    @property
    def told(self) -> str:
        """Why the thing of that place answers."""
        return f"number {self.mark} of those called {self.word}, by order of number"


def find_counted(typed: str) -> Counted | None:
    """The first word with its number, None where no number counts anything.

    Examples
    --------
    >>> find_counted("rear mount no. 3").place, find_counted("terminal 87a").mark, find_counted("17 hose")
    (3, '87a', None)
    """
    for match in (*_ORDINAL.finditer(typed), *_COUNTED.finditer(typed)):
        word, mark = singular(fold(match["word"])), fold(match["mark"])
        if word in IN_A_ROW or word in MARKED or word in LABEL_LETTERS:
            place = int(mark) if word in IN_A_ROW and mark.isdecimal() else None
            rest = f"{typed[: match.start()]} {typed[match.end() :]}".strip()
            return Counted(typed, word, mark, place, rest)
    return None
