"""When the engine was out: what cannot be told for sure counts as off in the machine."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.refit.lifts import Lifts, Moment, find_last_offs, find_lifts, in_time
from asfound.model.log import Event

MONDAY = datetime(2025, 10, 20, 9, 0, tzinfo=UTC)
DAY, HOUR = timedelta(days=1), timedelta(hours=1)


def at(days: float = 0, hours: float = 0) -> Moment:
    return Moment(MONDAY + days * DAY + hours * HOUR)


def day(days: int) -> Moment:
    """A day of which the hour is not known: kept as its last minute."""
    return Moment((MONDAY + days * DAY).replace(hour=23, minute=59), is_day_only=True)


def event(event_id: int, kind: str, days: float, tag_id: int = 1) -> Event:
    return Event(event_id, tag_id, kind, MONDAY + days * DAY, "", "", "", MONDAY)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("one", "other", "surely"),
    [
        (at(hours=2), at(hours=1), True),
        (at(hours=1), at(hours=1), False),
        (at(hours=1), at(hours=2), False),
        # On one day nobody can tell, whichever of the two has no hour.
        (day(0), at(hours=1), False),
        (at(hours=14), day(0), False),
        (day(0), day(0), False),
        (day(1), at(hours=1), True),
        (at(days=1), day(0), True),
        (day(0), at(days=1), False),
    ],
)
def test_later_is_said_only_where_it_is_sure(one: Moment, other: Moment, surely: bool):
    assert one.is_surely_after(other) is surely


def test_days_are_compared_in_the_time_of_the_place():
    """23:30 in universal time is 01:30 of the next day two hours east."""
    east = timezone(timedelta(hours=2))
    evening = Moment(datetime(2025, 10, 20, 23, 30, tzinfo=UTC))
    noon = Moment(datetime(2025, 10, 21, 12, 0, tzinfo=east), is_day_only=True)

    assert not evening.is_surely_after(noon), "it is the same day there"
    assert Moment(evening.at + DAY).is_surely_after(noon)


def test_no_lift_is_known_while_none_is_said():
    lifts = find_lifts([], [at()])

    assert lifts == Lifts()
    assert (lifts.are_known, lifts.is_out, lifts.last_out, lifts.is_bench(at())) == (False, False, None, False)


def test_of_several_outs_in_a_row_the_last_counts_and_of_ins_the_first():
    lifts = find_lifts([at(0), at(1), at(9)], [at(3), at(4)])

    assert lifts.spells == ((at(1), at(3)), (at(9), None))
    assert (lifts.last_out, lifts.is_out) == (at(9), True)


def test_order_of_writing_does_not_matter():
    assert find_lifts([at(9), at(1)], [at(3)]) == find_lifts([at(1), at(9)], [at(3)])


@pytest.mark.parametrize(
    ("moment", "bench"),
    [
        (at(0.5), False),
        (at(1), False),
        (at(1, 1), True),
        (day(1), False),
        (day(2), True),
        (at(3), False),
        (day(3), False),
        (at(3.5), False),
        (at(10), True),
    ],
)
def test_bench_is_what_surely_came_off_between_two_lifts(moment: Moment, bench: bool):
    lifts = find_lifts([at(1), at(9)], [at(3)])

    assert lifts.is_bench(moment) is bench


hours = st.integers(0, 400).map(lambda hour: Moment(MONDAY + hour * HOUR))


@given(st.lists(hours, max_size=5), st.lists(hours, max_size=5), hours)
def test_spells_follow_each_other_and_hold_what_is_on_the_bench(outs: list[Moment], ins: list[Moment], moment: Moment):
    lifts = find_lifts(outs, ins)

    ends = [came_in for _out, came_in in lifts.spells]
    assert all(came_in is not None for came_in in ends[:-1]), "only the last spell can still go on"
    for (_out, came_in), (next_out, _in) in zip(lifts.spells, lifts.spells[1:], strict=False):
        assert came_in is not None
        assert came_in.at <= next_out.at
    assert {went_out for went_out, _in in lifts.spells} <= set(outs)
    inside = any(out.at < moment.at and (end is None or moment.at < end.at) for out, end in lifts.spells)
    assert lifts.is_bench(moment) is inside, "with hours known it is plain arithmetic"


def test_thing_said_off_twice_came_off_the_first_time():
    events = [event(1, "off", 0), event(2, "off", 3), event(3, "refitted", 4), event(4, "off", 6)]

    assert find_last_offs(events[:2])[1] == events[0]
    assert find_last_offs(events)[1] == events[3]
    assert find_last_offs(reversed(events)) == find_last_offs(events)


def test_things_are_apart_and_what_is_back_keeps_when_it_came_off():
    events = [event(1, "off", 0), event(2, "off", 1, tag_id=2), event(3, "refitted", 2)]

    assert find_last_offs(events) == {1: events[0], 2: events[1]}
    assert find_last_offs([]) == {}


def test_events_of_one_moment_stand_as_they_were_written():
    same = [event(2, "refitted", 0), event(1, "off", 0), event(3, "off", -1)]

    assert [one.event_id for one in in_time(same)] == [3, 1, 2]
