"""Which way an engine turns. Clockwise seen from one end is anticlockwise seen from the other, and standards differ in
the end they look from: a direction alone says nothing, and none is guessed.

References
----------
SAE J824, Engine rotation and cylinder numbering: seen from the principal output end, which is the flywheel end where
power leaves at both; "standard" is anticlockwise, "opposite" clockwise.
DIN 73021 (withdrawn): seen from the end opposite the output; clockwise there is right-turning.
Both read through secondary texts, not in the standards themselves. ISO 1204:1990 is not in the table: it is for engines
other than those of road vehicles, farm tractors and aircraft, and only its scope was read.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

Named = TypeVar("Named")


class EngineEnd(StrEnum):
    """An end of the crankshaft. The belt end is the one away from the output, even where it does not face forward."""

    BELT = "belt end"
    FLYWHEEL = "flywheel end"

    @property
    def other(self) -> EngineEnd:
        return EngineEnd.FLYWHEEL if self is EngineEnd.BELT else EngineEnd.BELT


class Sense(StrEnum):
    """A direction of turning, as one looks at it."""

    CLOCKWISE = "clockwise"
    ANTICLOCKWISE = "anticlockwise"

    @property
    def other(self) -> Sense:
        return Sense.ANTICLOCKWISE if self is Sense.CLOCKWISE else Sense.CLOCKWISE


@dataclass(frozen=True, slots=True)
class TurningStandard:
    """What a standard means by a direction.

    Attributes
    ----------
    pattern : str
        Regular expression of its name in a text.
    seen_from : EngineEnd
    clockwise, anticlockwise : str
        Its own words for the two, as seen from its end.
    """

    name: str
    pattern: str
    seen_from: EngineEnd
    clockwise: str
    anticlockwise: str


STANDARDS = (
    TurningStandard("SAE J824", r"\bJ\s?824\b", EngineEnd.FLYWHEEL, "opposite", "standard"),
    TurningStandard("DIN 73021", r"\b73\s?021\b", EngineEnd.BELT, "right-turning", "left-turning"),
)


@dataclass(frozen=True, slots=True)
class Turning:
    """A direction with the end from which it is seen."""

    sense: Sense
    seen_from: EngineEnd

    def seen_at(self, end: EngineEnd) -> Sense:
        """The direction of turning as somebody sees it who looks at this end."""
        return self.sense if end is self.seen_from else self.sense.other

    def called_by(self, standard: TurningStandard) -> str:
        """The standard's own word for it."""
        is_clockwise = self.seen_at(standard.seen_from) is Sense.CLOCKWISE
        return standard.clockwise if is_clockwise else standard.anticlockwise


_HAND = r"[\s-]?(?:hand(?:ed)?|turning)"
_SENSES = {
    Sense.CLOCKWISE: rf"(?<![\w-])(?<!anti )(?<!counter )(?<!contra )(?:clock[\s-]?wise|cw|rh|right{_HAND})\b",
    Sense.ANTICLOCKWISE: rf"\b(?:(?:anti|counter|contra)[\s-]?clock[\s-]?wise|ccw|acw|lh|left{_HAND})\b",
}
_ENDS = {
    EngineEnd.BELT: r"\b(?:belts?|pulleys?|damper|free end|crank(?:shaft)? nose)\b",
    EngineEnd.FLYWHEEL: r"\b(?:flywheel|output|gear\s?box|marine gear|transmission|clutch|bell\s?housing)\b",
}
_LOOKED = re.compile(r"\b(?:seen|viewed|looked|looking|from|at)\b(.*)", re.IGNORECASE | re.DOTALL)
_UNSURE = re.compile(r"\b(?:towards?|facing|away|other|behind|not|or|opposite(?! rotation| turning))\b", re.IGNORECASE)
"""With these the words may mean the other end, or the other way: "looking towards the flywheel"."""
EXAMPLE = 'asfound job set --turning "clockwise seen from the ... end"'


def read_turning(words: str, front_means: str = "") -> Turning | None:
    """The direction and the end that words say together; None when either is missing or could be meant otherwise.

    Parameters
    ----------
    front_means : str
        What the person calls the front, for "seen from the front".
    """
    named = _standards_named(words)
    ends: set[EngineEnd | None] = {standard.seen_from for standard in named}
    if looked := _LOOKED.search(words):
        ends.add(_end_looked_at(looked[1], front_means))
    senses = _senses_said(words, named)
    if len(senses) != 1 or len(ends) != 1 or _UNSURE.search(words):
        return None
    (sense,), (end,) = senses, ends
    return Turning(sense, end) if end else None


def turning_gap(words: str, front_means: str = "") -> str:
    """What words about turning leave open; empty when they say all, or nothing was said."""
    if not words.strip() or read_turning(words, front_means):
        return ""
    is_way_said = len(_senses_said(words, _standards_named(words))) == 1 and not _UNSURE.search(words)
    return "seen from which end" if is_way_said else "which way, and seen from which end"


def turning_question(words: str, front_means: str = "") -> str:
    """What must be asked back in one line; empty when the words say which way, and seen from which end."""
    gap = turning_gap(words, front_means)
    if not gap:
        return ""
    looks = ", ".join(f"{standard.name} looks at the {standard.seen_from}" for standard in STANDARDS)
    return f'Turning "{words}": {gap}? {looks}. Say both: {EXAMPLE}'


def turning_note(words: str, front_means: str = "") -> str:
    """The same turning seen from the other end and in the words of the standards; empty when it cannot be told."""
    turning = read_turning(words, front_means)
    if turning is None:
        return ""
    end = turning.seen_from.other
    called = ", ".join(f'{standard.name} calls it "{turning.called_by(standard)}"' for standard in STANDARDS)
    return f"Seen from the {end} that is {turning.seen_at(end)}; {called}."


def _standards_named(words: str) -> list[TurningStandard]:
    return [standard for standard in STANDARDS if re.search(standard.pattern, words, re.IGNORECASE)]


def _senses_said(words: str, named: Sequence[TurningStandard]) -> set[Sense]:
    """Directions in everybody's words, and in those of the standards that are named."""
    senses = _found(_SENSES, words)
    for one in named:
        senses |= _found({Sense.CLOCKWISE: one.clockwise, Sense.ANTICLOCKWISE: one.anticlockwise}, words)
    return senses


def _end_looked_at(words: str, front_means: str) -> EngineEnd | None:
    ends = _found(_ENDS, words)
    front = _found(_ENDS, front_means)
    if len(front) == 1:
        (end,) = front
        ends |= {end} if re.search(r"\bfront\b", words, re.IGNORECASE) else set()
        ends |= {end.other} if re.search(r"\b(?:rear|back)\b", words, re.IGNORECASE) else set()
    return next(iter(ends)) if len(ends) == 1 else None


def _found(patterns: Mapping[Named, str], words: str) -> set[Named]:
    return {name for name, pattern in patterns.items() if re.search(pattern, words, re.IGNORECASE)}
