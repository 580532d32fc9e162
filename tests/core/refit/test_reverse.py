"""The draft of the way back."""

from __future__ import annotations

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from asfound.core.refit.reverse import apply_moves, draft_order
from asfound.core.refit.steps import HoldPoint, Move
from tests.core.log.makers import START, event

hours_off = st.dictionaries(st.integers(1, 9), st.integers(0, 5))


def test_last_off_is_first_on() -> None:
    log = [event(1, "off", 1), event(3, "off", 2), event(2, "off", 3)]

    assert draft_order([1, 2, 3], log) == (2, 3, 1, HoldPoint.FIRST_START)


def test_what_came_off_twice_counts_by_the_last_time() -> None:
    log = [event(1, "off", 1), event(2, "off", 2), event(1, "refitted", 3), event(1, "off", 4)]

    assert draft_order([1, 2], log)[:2] == (1, 2)


def test_what_nobody_wrote_down_as_off_comes_last_before_the_hold() -> None:
    assert draft_order([5, 4, 1], [event(1, "off", 1)]) == (1, 5, 4, HoldPoint.FIRST_START)


def test_what_came_off_on_the_bench_goes_back_before_the_lift_in() -> None:
    log = [event(1, "off", 1), event(2, "off", 2), event(3, "off", 4)]

    draft = draft_order([1, 2, 3], log, lifted_out_at=START + timedelta(hours=3))

    assert draft == (3, HoldPoint.LIFT_IN, 2, 1, HoldPoint.FIRST_START)


def test_moves_are_made_one_after_the_other_and_unknown_ones_do_nothing() -> None:
    moves = [Move(4, "before", 1), Move(1, "after", 3), Move(9, "before", 1), Move(2, "after", 9), Move(3, "after", 3)]

    assert apply_moves((1, 2, 3, 4), moves) == (4, 2, 3, 1)


@given(hours_off)
def test_draft_is_the_log_backwards(hours: dict[int, int]) -> None:
    log = [event(tag_id, "off", hour) for tag_id, hour in hours.items()]

    draft = draft_order(hours, log)

    assert draft == (*(e.tag_id for e in sorted(log, key=lambda e: (e.at, e.event_id))[::-1]), HoldPoint.FIRST_START)
    assert draft_order(hours, log[::-1]) == draft
