"""The first draft of the way back: last off, first on. Rules and the person change it; it is never the last word."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from itertools import groupby

from asfound.core.refit.lifts import Lifts, Moment, find_last_offs, in_time
from asfound.core.refit.one_day import Nearness, order_by_place
from asfound.core.refit.steps import HoldPoint, Lift, Move, Step
from asfound.model.log import Event


def draft_order(
    tag_ids: Iterable[int],
    events: Iterable[Event],
    *,
    lifts: Lifts | None = None,
    earth_leads: Collection[int] = (),
    nearness: Nearness | None = None,
) -> tuple[Step, ...]:
    """Steps in the reverse of the order in which things came off, each tag once, with the holds and the lift in.

    What came off while the engine was surely out of the machine goes back before it is lifted in. While no lift is
    written down nothing does, and the hold before lift in comes first.

    Parameters
    ----------
    tag_ids : iterable of int
        Every tag of the job, in an order that makes sense to a person; those that nobody wrote down as off come last,
        in this order.
    events : iterable of Event
        In any order. What came off, went back and came off again counts by the last time.
    earth_leads : collection of int
        Go last of all, whenever they came off.
    nearness : Nearness or None
        Orders what came off on one day without an hour.
    """
    lifts = lifts or Lifts()
    wanted = tuple(dict.fromkeys(tag_ids))
    last_off = find_last_offs(events)
    off = _last_off_first([last_off[one] for one in wanted if one in last_off], wanted, nearness or Nearness())
    leads = [event.tag_id for event in off if event.tag_id in earth_leads]
    others = [event for event in off if event.tag_id not in earth_leads]
    bench = [event.tag_id for event in others if lifts.is_bench(Moment(event.at, event.is_day_only))]
    machine = [event.tag_id for event in others if event.tag_id not in bench]
    never_off = [tag_id for tag_id in wanted if tag_id not in last_off]
    lift_in = (HoldPoint.LIFT_IN, Lift.IN) if lifts.are_known else (HoldPoint.LIFT_IN,)
    return (*bench, *lift_in, *machine, *leads, *never_off, HoldPoint.FIRST_START)


def apply_moves(draft: Sequence[Step], moves: Iterable[Move]) -> tuple[Step, ...]:
    """The draft with the person's moves made, one after the other; a move that names an unknown step does nothing."""
    steps = list(draft)
    for move in moves:
        if move.step == move.other or move.step not in steps or move.other not in steps:
            continue
        steps.remove(move.step)
        steps.insert(steps.index(move.other) + (move.side == "after"), move.step)
    return tuple(steps)


def last_words(moves: Iterable[Move]) -> list[Move]:
    """The last move of each step, oldest first."""
    last: dict[Step, Move] = {}
    for move in moves:
        if move.step != move.other:
            last.pop(move.step, None)
            last[move.step] = move
    return list(last.values())


def _last_off_first(offs: Sequence[Event], wanted: Sequence[int], nearness: Nearness) -> list[Event]:
    """The latest first; of one day without an hour nobody knows the order, so it goes by place."""
    ordered: list[Event] = []
    backwards = list(in_time(offs))[::-1]
    for (is_day_only, _day), same in groupby(backwards, lambda event: (event.is_day_only, event.at.date())):
        group = {event.tag_id: event for event in same}
        tag_ids = sorted(group, key=wanted.index) if is_day_only else list(group)
        ordered += [group[one] for one in (order_by_place(tag_ids, nearness.distance) if is_day_only else tag_ids)]
    return ordered
