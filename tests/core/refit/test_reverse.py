"""The draft of the way back."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.refit.lifts import Lifts, Moment, find_lifts
from asfound.core.refit.one_day import Nearness, PinnedAt, order_by_place
from asfound.core.refit.reverse import apply_moves, draft_order
from asfound.core.refit.steps import HoldPoint, Lift, Move, Step
from asfound.model.log import Event
from tests.core.log.makers import START, event

hours_off = st.dictionaries(st.integers(1, 9), st.integers(0, 5))
LIFT_IN, IN, START_UP = HoldPoint.LIFT_IN, Lift.IN, HoldPoint.FIRST_START
DAY = timedelta(days=1)


def on_day(one: Event) -> Event:
    """The same, of which only the day is known."""
    return replace(one, at=one.at.replace(hour=23, minute=59), is_day_only=True)


def moment(hours: float) -> Moment:
    return Moment(START + timedelta(hours=hours))


def lifted(out: float, came_in: float | None = None) -> Lifts:
    return find_lifts([moment(out)], [] if came_in is None else [moment(came_in)])


def test_last_off_is_first_on_and_every_order_stops_before_the_lift_in() -> None:
    log = [event(1, "off", 1), event(3, "off", 2), event(2, "off", 3)]

    assert draft_order([1, 2, 3], log) == (LIFT_IN, 2, 3, 1, START_UP)


def test_what_came_off_twice_counts_by_the_last_time() -> None:
    log = [event(1, "off", 1), event(2, "off", 2), event(1, "refitted", 3), event(1, "off", 4)]

    assert draft_order([1, 2], log)[1:3] == (1, 2)


def test_what_nobody_wrote_down_as_off_comes_last_before_the_hold() -> None:
    assert draft_order([5, 4, 1], [event(1, "off", 1)]) == (LIFT_IN, 1, 5, 4, START_UP)


def test_what_came_off_on_the_bench_goes_back_before_the_lift_in() -> None:
    log = [event(1, "off", 1), event(2, "off", 2), event(3, "off", 4)]

    assert draft_order([1, 2, 3], log, lifts=lifted(3)) == (3, LIFT_IN, IN, 2, 1, START_UP)


def test_what_came_off_on_the_day_of_the_lift_without_an_hour_goes_on_after_it() -> None:
    """A day counts from its end, 23:59, which is after the lift at 12:00: the battery must not go on before it."""
    log = [on_day(event(1, "off", 1)), on_day(event(2, "off", 30))]

    assert draft_order([1, 2], log, lifts=lifted(3)) == (2, LIFT_IN, IN, 1, START_UP)


@pytest.mark.parametrize("is_in", [False, True])
def test_lift_of_which_only_the_day_is_known_leaves_that_days_things_in_the_machine(is_in: bool) -> None:
    day = Moment(START.replace(hour=23, minute=59), is_day_only=True)
    lifts = find_lifts([moment(-30)], [day]) if is_in else find_lifts([day], [])

    assert draft_order([1], [event(1, "off", 5)], lifts=lifts) == (LIFT_IN, IN, 1, START_UP)


def test_what_came_off_again_after_the_lift_in_stays_after_it() -> None:
    """It wept after the engine was in: it is not from the bench."""
    log = [
        event(1, "off", 1),
        event(2, "off", 4),
        event(2, "refitted", 6),
        event(1, "refitted", 9),
        event(1, "off", 10),
    ]

    assert draft_order([1, 2], log, lifts=lifted(3, 8)) == (2, LIFT_IN, IN, 1, START_UP)


def test_second_time_out_counts_for_what_came_off_then() -> None:
    lifts = find_lifts([moment(1), moment(10)], [moment(5)])
    log = [event(1, "off", 2), event(2, "off", 7), event(3, "off", 11)]

    assert draft_order([1, 2, 3], log, lifts=lifts) == (3, 1, LIFT_IN, IN, 2, START_UP)


def test_what_was_off_as_the_engine_went_out_is_not_from_the_bench_though_it_was_said_again() -> None:
    """Its other end, or a slip: on before the lift it would hang over the bay on one end."""
    log = [event(1, "off", 1), event(1, "off", 4)]

    assert draft_order([1], log, lifts=lifted(3)) == (LIFT_IN, IN, 1, START_UP)


def test_of_several_looks_before_a_lift_the_last_counts_and_of_several_before_a_lift_in_the_first() -> None:
    lifts = find_lifts([moment(1), moment(3)], [moment(7), moment(9)])

    assert lifts.spells == ((moment(3), moment(7)),)
    assert not lifts.is_out
    assert find_lifts([], [moment(2)]) == Lifts()


def test_earth_lead_stands_last_also_when_it_came_off_on_the_bench() -> None:
    log = [event(1, "off", 4), event(2, "off", 2)]

    assert draft_order([1, 2], log, lifts=lifted(3), earth_leads=[1]) == (LIFT_IN, IN, 2, 1, START_UP)


def test_one_day_without_an_hour_goes_by_place_not_by_number() -> None:
    """Odd numbers sit at one spot, even ones at another, and 5 sits beside 1."""
    pinned = [PinnedAt(1, 7, 0.1, 0.1), PinnedAt(5, 7, 0.2, 0.1), PinnedAt(3, 8, 0.9, 0.9), *(
        PinnedAt(even, 9, even / 10, 0.5) for even in (2, 4)
    )]  # fmt: skip
    nearness = Nearness(pinned, {7: 1, 8: 1, 9: 2})
    log = [on_day(event(number, "off")) for number in range(1, 6)]

    assert draft_order(range(1, 6), log, nearness=nearness) == (LIFT_IN, 1, 5, 3, 2, 4, START_UP)


def test_without_pins_the_words_of_places_keep_things_together_else_their_numbers() -> None:
    nearness = Nearness(places=[(1, "starter"), (3, "starter"), (2, "pump"), (4, "")])

    assert order_by_place([1, 2, 3, 4], nearness.distance) == [1, 3, 2, 4]
    assert order_by_place([], nearness.distance) == []


def test_what_has_an_hour_keeps_its_order_beside_what_has_none() -> None:
    log = [event(1, "off", 1), event(2, "off", 2), on_day(event(3, "off", -24)), on_day(event(4, "off", -24))]

    assert draft_order([1, 2, 3, 4], log)[1:-1] == (2, 1, 3, 4)


def test_moves_are_made_one_after_the_other_and_unknown_ones_do_nothing() -> None:
    moves = [Move(4, "before", 1), Move(1, "after", 3), Move(9, "before", 1), Move(2, "after", 9), Move(3, "after", 3)]

    assert apply_moves((1, 2, 3, 4), moves) == (4, 2, 3, 1)


@given(hours_off)
def test_draft_is_the_log_backwards(hours: dict[int, int]) -> None:
    log = [event(tag_id, "off", hour) for tag_id, hour in hours.items()]

    draft = draft_order(hours, log)

    backwards: list[Step] = [e.tag_id for e in sorted(log, key=lambda e: (e.at, e.event_id))[::-1]]
    assert draft == (LIFT_IN, *backwards, START_UP)
    assert draft_order(hours, log[::-1]) == draft
