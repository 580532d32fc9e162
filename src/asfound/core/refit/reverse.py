"""The first draft of the way back: last off, first on. Rules and the person change it; it is never the last word."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from asfound.core.refit.steps import HoldPoint, Move, Step
from asfound.model.log import Event


def draft_order(
    tag_ids: Iterable[int], events: Iterable[Event], *, lifted_out_at: datetime | None = None
) -> tuple[Step, ...]:
    """Steps in the reverse of the order in which things came off, each tag once, the hold before first start last.

    Parameters
    ----------
    tag_ids : iterable of int
        Every tag of the job, in an order that makes sense to a person; those that nobody wrote down as off come last,
        in this order.
    events : iterable of Event
        In any order. What came off twice counts by the last time.
    lifted_out_at : datetime or None
        Aware. When known, what came off after it (on the bench) goes back before the lift in, the rest after it.
    """
    wanted = tuple(dict.fromkeys(tag_ids))
    last_off = {event.tag_id: event for event in sorted(events, key=_when) if event.kind == "off"}
    off = sorted((last_off[tag_id] for tag_id in wanted if tag_id in last_off), key=_when, reverse=True)
    never_off = [tag_id for tag_id in wanted if tag_id not in last_off]
    if lifted_out_at is None:
        return (*(event.tag_id for event in off), *never_off, HoldPoint.FIRST_START)
    on_the_bench = [event.tag_id for event in off if event.at > lifted_out_at]
    in_the_machine = [event.tag_id for event in off if event.at <= lifted_out_at]
    return (*on_the_bench, HoldPoint.LIFT_IN, *in_the_machine, *never_off, HoldPoint.FIRST_START)


def apply_moves(draft: Sequence[Step], moves: Iterable[Move]) -> tuple[Step, ...]:
    """The draft with the person's moves made, one after the other; a move that names an unknown step does nothing."""
    steps = list(draft)
    for move in moves:
        if move.step == move.other or move.step not in steps or move.other not in steps:
            continue
        steps.remove(move.step)
        steps.insert(steps.index(move.other) + (move.side == "after"), move.step)
    return tuple(steps)


def _when(event: Event) -> tuple[datetime, datetime, int]:
    return event.at, event.entered_at, event.event_id
