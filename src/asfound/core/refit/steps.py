"""Steps of a refit, and the rules between them. Rules are the person's or the trade's draft; none is law."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

Reason = Literal[
    "moved", "fit after", "fit before", "after the hold", "belt off first", "earth lead last", "before the hold"
]

STRENGTH: dict[Reason, int] = {
    "moved": 0,
    "fit after": 1,
    "fit before": 1,
    "after the hold": 2,
    "belt off first": 3,
    "earth lead last": 4,
    "before the hold": 5,
}
"""Which rule gives way, the strongest first: what a person said goes before what the trade does.

What goes on after the lift never goes before it for the sake of a thing from the bench: that thing waits instead.
"""


class HoldPoint(StrEnum):
    """Where work stops until it has been looked at."""

    LIFT_OUT = "before lift out"
    LIFT_IN = "before lift in"
    FIRST_START = "before first start"

    @property
    def phase(self) -> Literal["lift", "first start"]:
        """The phase of the work whose cautions belong to it."""
        return "first start" if self is HoldPoint.FIRST_START else "lift"


class Lift(StrEnum):
    """The engine goes out, or comes in."""

    OUT = "lift out"
    IN = "lift in"


@dataclass(frozen=True, slots=True)
class OwnStep:
    """A step that a person put on the list, such as "bleed the fuel".

    Attributes
    ----------
    is_hold : bool
        Whether work stops there until somebody has looked.
    """

    step_id: int
    name: str
    is_hold: bool = False

    def __str__(self) -> str:
        return self.name


Step = int | HoldPoint | Lift | OwnStep
"""The refitting of a tag, by its hidden identity, a hold point, the lift in, or a step of the person's own."""


def is_divider(step: Step) -> bool:
    """Whether everything before it in the draft goes before it, and the rest after it."""
    return isinstance(step, HoldPoint | Lift) or (isinstance(step, OwnStep) and step.is_hold)


@dataclass(frozen=True, slots=True)
class Rule:
    """`later` waits for `earlier`."""

    later: Step
    earlier: Step
    reason: Reason = "fit after"


@dataclass(frozen=True, slots=True)
class Move:
    """A person put a step right before another one, or right after it.

    Attributes
    ----------
    side : {"before", "after"}
    other : Step
        The step that stays where it is.
    """

    step: Step
    side: Literal["before", "after"]
    other: Step

    @property
    def rule(self) -> Rule:
        """What the move says of the order."""
        pair = (self.other, self.step) if self.side == "before" else (self.step, self.other)
        return Rule(*pair, "moved")
