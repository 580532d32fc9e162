"""The engine goes out and comes in: by the log, else by the looks at the holds; what is odd is said, never refused."""

from __future__ import annotations

from datetime import timedelta

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.fit import pass_hold
from asfound.actions.lift import hold_name, is_lifted_in, lift_oddity, read_lifts, write_lift
from asfound.actions.undo import undo
from asfound.core.refit.lifts import Moment
from asfound.core.refit.steps import HoldPoint, Lift
from tests.small_archive import now

DAY = timedelta(days=1)


def test_lift_is_a_line_of_the_whole_job_with_all_that_was_said(archive: Archive):
    line = write_lift(archive, Lift.OUT, by_whom="crane", note="two slings", at=now() - DAY, is_day_only=True)

    assert (line.kind, line.what, line.tag_id) == ("lifted out", "engine", None)
    assert (line.by_whom, line.note, line.at, line.is_day_only) == ("crane", "two slings", now() - DAY, True)
    assert undo(archive) == ["engine lifted out"]
    assert not read_lifts(archive).are_known


def test_engine_is_out_from_one_lift_to_the_next(archive: Archive):
    assert (read_lifts(archive).are_known, is_lifted_in(archive)) == (False, False)

    write_lift(archive, Lift.OUT, at=now() - 3 * DAY)
    assert (read_lifts(archive).is_out, is_lifted_in(archive)) == (True, False)

    write_lift(archive, Lift.IN, at=now() - DAY)
    assert (read_lifts(archive).is_out, is_lifted_in(archive)) == (False, True)
    assert read_lifts(archive).is_bench(Moment(now() - 2 * DAY))
    assert not read_lifts(archive).is_bench(Moment(now()))


def test_struck_lift_did_not_happen(archive: Archive):
    log.strike(archive, write_lift(archive, Lift.OUT))

    assert not read_lifts(archive).are_known


def test_without_a_lift_in_the_log_the_looks_at_the_holds_tell(archive: Archive):
    pass_hold(archive, HoldPoint.LIFT_OUT, "Tine", now() - 3 * DAY)
    assert read_lifts(archive).is_out
    pass_hold(archive, HoldPoint.LIFT_IN, "Tine", now() - DAY)

    assert not read_lifts(archive).is_out
    assert is_lifted_in(archive)


def test_look_before_the_lift_in_is_no_lift_in_where_the_log_says_when_it_went_out(archive: Archive):
    write_lift(archive, Lift.OUT, at=now() - 3 * DAY)
    pass_hold(archive, HoldPoint.LIFT_IN, "Tine", now() - DAY)

    assert not is_lifted_in(archive), "somebody looked, and nobody said that it hangs no more"


def test_look_before_the_lift_out_counts_no_more_once_the_log_tells(archive: Archive):
    pass_hold(archive, HoldPoint.LIFT_OUT, "Tine", now() - 9 * DAY)
    write_lift(archive, Lift.OUT, at=now() - 3 * DAY)

    assert read_lifts(archive).last_out == Moment(now() - 3 * DAY)


@pytest.mark.parametrize(
    ("lift", "lines", "looks", "told"),
    [
        (Lift.OUT, (), (), "asfound hold lift-out"),
        (Lift.OUT, (), (HoldPoint.LIFT_OUT,), ""),
        (Lift.OUT, (Lift.OUT,), (HoldPoint.LIFT_OUT,), "is out already"),
        (Lift.OUT, (Lift.OUT, Lift.IN), (HoldPoint.LIFT_OUT,), ""),
        (Lift.IN, (), (), "Nothing says when the engine went out"),
        (Lift.IN, (Lift.OUT,), (), "asfound hold lift-in"),
        (Lift.IN, (Lift.OUT,), (HoldPoint.LIFT_IN,), ""),
    ],
)
def test_what_is_odd_about_a_lift_is_said(
    archive: Archive, lift: Lift, lines: tuple[Lift, ...], looks: tuple[HoldPoint, ...], told: str
):
    for ago, line in zip((3, 2), lines, strict=False):
        write_lift(archive, line, at=now() - ago * DAY)
    for hold in looks:
        pass_hold(archive, hold, "Tine", now() - DAY)

    said = lift_oddity(archive, lift)

    assert said == "" if not told else told in said


def test_look_before_the_last_lift_out_is_none_for_this_lift_in(archive: Archive):
    pass_hold(archive, HoldPoint.LIFT_IN, "Tine", now() - 9 * DAY)
    write_lift(archive, Lift.OUT, at=now() - 3 * DAY)

    assert "asfound hold lift-in" in lift_oddity(archive, Lift.IN)


def test_holds_are_named_as_they_are_typed():
    assert [hold_name(hold) for hold in HoldPoint] == ["lift-out", "lift-in", "first-start"]
