"""When the engine went out and came in again, and what was on the bench in between.

Of many a moment no more than the day is known. Where it cannot be told on which side of a lift something came off, it
counts as having come off in the machine: a battery that goes on before the engine hangs over it hurts somebody.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from asfound.model.log import Event


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment, aware; the last minute of the day where only the day is known."""

    at: datetime
    is_day_only: bool = False

    def is_surely_after(self, other: Moment) -> bool:
        """Whether it was later, also when it was early on its day and the other one late."""
        day, other_day = self.at.astimezone(other.at.tzinfo).date(), other.at.date()
        return day > other_day or (not (self.is_day_only or other.is_day_only) and self.at > other.at)


@dataclass(frozen=True, slots=True)
class Lifts:
    """Spells for which the engine was out of the machine, each with when it came in; None while it is out."""

    spells: tuple[tuple[Moment, Moment | None], ...] = ()

    @property
    def are_known(self) -> bool:
        """Whether a lift out is written down at all."""
        return bool(self.spells)

    @property
    def last_out(self) -> Moment | None:
        """The last lift out."""
        return self.spells[-1][0] if self.spells else None

    @property
    def is_out(self) -> bool:
        """Whether the engine is out by the last word on it."""
        return bool(self.spells) and self.spells[-1][1] is None

    def is_bench(self, moment: Moment) -> bool:
        """Whether the engine was surely out at a moment."""
        return any(
            moment.is_surely_after(went_out) and (came_in is None or came_in.is_surely_after(moment))
            for went_out, came_in in self.spells
        )


def find_lifts(outs: Iterable[Moment], ins: Iterable[Moment]) -> Lifts:
    """Spells out of the machine, from lifts, or from looks at the holds before them, in any order.

    Of several outs in a row the last one counts, of several ins the first: somebody may look twice before a lift.
    """
    spells: list[tuple[Moment, Moment | None]] = []
    marks = [*((moment, True) for moment in outs), *((moment, False) for moment in ins)]
    for moment, is_out in sorted(marks, key=lambda mark: (mark[0].at, not mark[1])):
        if is_out and spells and spells[-1][1] is None:
            spells[-1] = (moment, None)
        elif is_out:
            spells.append((moment, None))
        elif spells and spells[-1][1] is None:
            spells[-1] = (spells[-1][0], moment)
    return Lifts(tuple(spells))


def find_last_offs(events: Iterable[Event]) -> dict[int, Event]:
    """The event by which each thing last came off.

    Said twice without having gone back in between, the first time counts: the second is of its other end, or a slip.
    """
    last: dict[int, Event] = {}
    is_off: set[int] = set()
    for event in in_time(events):
        if event.kind != "off":
            is_off.discard(event.tag_id)
        elif event.tag_id not in is_off:
            last[event.tag_id] = event
            is_off.add(event.tag_id)
    return last


def in_time(events: Iterable[Event]) -> Sequence[Event]:
    """Events in the order in which they happened, then in which they were written down."""
    return sorted(events, key=lambda event: (event.at, event.entered_at, event.event_id))
