"""Steps of a refit, and the rules between them. Rules are the person's or the trade's draft; none is law."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

Reason = Literal["moved", "fit after", "fit before", "earth lead last", "hold point"]

STRENGTH: dict[Reason, int] = {"moved": 0, "fit after": 1, "fit before": 1, "earth lead last": 2, "hold point": 3}
"""Which rule gives way, the strongest first: what a person said goes before what the trade does."""


class HoldPoint(StrEnum):
    """Where work stops until it has been looked at."""

    LIFT_OUT = "before lift out"
    LIFT_IN = "before lift in"
    FIRST_START = "before first start"

    @property
    def phase(self) -> Literal["lift", "first start"]:
        """The phase of the work whose cautions belong to it."""
        return "first start" if self is HoldPoint.FIRST_START else "lift"


Step = int | HoldPoint
"""The refitting of a tag, by its hidden identity, or a hold point."""


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
    other : int or HoldPoint
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
