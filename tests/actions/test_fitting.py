"""Rules on what is fitted first: kept as said, loops too, and taken away whichever way round they are named."""

from __future__ import annotations

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.fit import move_step, name_step, pass_hold, plan_fit
from asfound.actions.fitting import drop_rule, fit_after, fit_before
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import steps_to_undo, undo
from asfound.core.refit.steps import HoldPoint
from asfound.errors import Misused, NotFound
from asfound.model.tags import Tag


@pytest.fixture
def things(archive: Archive) -> list[Tag]:
    """Three that came off one after another, so that the last goes on first."""
    tags = [add_tag(archive, number, TagWords()) for number in ("1", "2", "3")]
    for tag in tags:
        log.mark_off(archive, tag)
    pass_hold(archive, HoldPoint.LIFT_IN, "Tine")
    return tags


def order(archive: Archive) -> list[str]:
    return [name_step(archive, step) for step in plan_fit(archive).order.steps if isinstance(step, int)]


def test_last_off_is_first_on_until_a_rule_says_otherwise(archive: Archive, things: list[Tag]):
    one, two, three = things
    assert order(archive) == ["3", "2", "1"]

    fit_after(archive, three, [one, two])
    assert order(archive) == ["2", "1", "3"]

    fit_before(archive, one, [two])
    assert order(archive) == ["1", "2", "3"]
    assert undo(archive) == ["1 is fitted before 2"]
    assert order(archive) == ["2", "1", "3"]


def test_rule_is_dropped_from_either_side(archive: Archive, things: list[Tag]):
    one, _two, three = things
    for first, second in ((one, three), (three, one)):
        fit_after(archive, three, [one])
        drop_rule(archive, first, second)
        assert order(archive) == ["3", "2", "1"]


def test_dropping_a_rule_that_is_not_there_is_told_and_leaves_no_step(archive: Archive, things: list[Tag]):
    steps = steps_to_undo(archive)

    with pytest.raises(NotFound, match="which of 1 and 2 is fitted first"):
        drop_rule(archive, things[0], things[1])

    assert steps_to_undo(archive) == steps


def test_loop_is_named_and_never_refused(archive: Archive, things: list[Tag]):
    one, two, _three = things
    fit_after(archive, one, [two])
    fit_after(archive, two, [one])

    assert sorted(order(archive)) == ["1", "2", "3"], "everything stays on the list"
    assert any("wait for each other" in warning for warning in plan_fit(archive).warnings)


def test_move_goes_before_every_rule_and_the_last_one_counts(archive: Archive, things: list[Tag]):
    one, two, three = things
    fit_after(archive, three, [one])

    move_step(archive, three.tag_id, "before", one.tag_id)
    assert order(archive) == ["2", "3", "1"]
    move_step(archive, three.tag_id, "after", one.tag_id)
    assert order(archive) == ["2", "1", "3"]
    assert undo(archive, 2) == ["3 is fitted right after 1", "3 is fitted right before 1"]
    assert order(archive)[-1] == "3"
    assert order(archive).index("1") < order(archive).index("3")
    assert two.tag_id in plan_fit(archive).order.steps


def test_what_cannot_move_is_refused_in_words(archive: Archive, things: list[Tag]):
    with pytest.raises(Misused, match="1 cannot go before itself"):
        move_step(archive, things[0].tag_id, "before", things[0].tag_id)
    with pytest.raises(Misused, match="stays where it is"):
        move_step(archive, HoldPoint.FIRST_START, "after", things[0].tag_id)


def test_move_over_the_lift_in_is_said(archive: Archive, things: list[Tag]):
    one, two, _three = (tag.tag_id for tag in things)

    assert move_step(archive, one, "before", HoldPoint.LIFT_IN) == "1 goes on before the engine is lifted in now."
    assert move_step(archive, one, "after", HoldPoint.LIFT_IN) == "1 goes on after the engine is lifted in now."
    assert move_step(archive, one, "before", two) == "", "it stays on its side of the lift"
