"""Steps of a person's own on the way back: where they go, how they are named, and that the log outlives them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.fit import plan_fit
from asfound.actions.own_steps import (
    USUAL_STEPS,
    add_step,
    do_step,
    drop_step,
    find_done,
    get_step,
    list_steps,
    read_step,
    resolve_step,
    step_text,
)
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import undo
from asfound.core.refit.steps import HoldPoint, OwnStep
from asfound.errors import Misused, NotFound
from tests.strategies import any_words


def order(archive: Archive) -> list[str]:
    return [str(step) for step in plan_fit(archive).order.steps if not isinstance(step, int)]


def test_step_of_which_no_place_is_said_comes_before_the_first_start(archive: Archive):
    add_step(archive, "  mind the   gauge ")

    steps = order(archive)

    assert steps.index("mind the gauge") < steps.index("before first start")


def test_usual_steps_go_to_their_usual_places(archive: Archive):
    for usual in USUAL_STEPS:
        add_step(archive, usual.name)

    steps = order(archive)

    start = steps.index("before first start")
    assert {*steps[start + 1 :]} == {"look after the first run", "retighten warm"}
    assert steps.index("look after the first run") < steps.index("retighten warm")
    assert [step.name for step in list_steps(archive) if step.is_hold] == ["look after the first run"]


def test_step_goes_where_it_is_said(archive: Archive):
    hose = add_tag(archive, "17", TagWords())
    log.mark_off(archive, hose)

    before = add_step(archive, "clean the flange", "before", hose.tag_id)
    after = add_step(archive, "press it off", "after", hose.tag_id, is_hold=True)

    steps = plan_fit(archive).order.steps
    assert steps.index(before) + 1 == steps.index(hose.tag_id) == steps.index(after) - 1
    assert after.is_hold


def test_step_wants_a_name_of_its_own(archive: Archive):
    add_step(archive, "bleed the fuel")

    for name, told in (("  ", "what the step is"), ("Bleed  the FUEL", "on the list already")):
        with pytest.raises(Misused, match=told):
            add_step(archive, name)

    assert [step.name for step in list_steps(archive)] == ["bleed the fuel"]


def test_step_that_was_done_is_over_and_can_be_done_again(archive: Archive):
    step = add_step(archive, "bleed the fuel")

    first = do_step(archive, step, by_whom="Tine", note="two strokes")
    second = do_step(archive, step, by_whom="Ola")

    assert (first.what, first.by_whom, first.note, first.tag_id) == ("bleed the fuel", "Tine", "two strokes", None)
    assert find_done(archive) == {"bleed the fuel": second}
    assert step in plan_fit(archive).done


def test_struck_line_says_no_more_that_it_was_done(archive: Archive):
    step = add_step(archive, "bleed the fuel")
    log.strike(archive, do_step(archive, step))

    assert find_done(archive) == {}
    assert step not in plan_fit(archive).done


def test_step_taken_off_the_list_leaves_its_line_in_the_log_and_undo_brings_back_its_place(archive: Archive):
    step = add_step(archive, "look after the first run")
    line = do_step(archive, step)
    was = order(archive)

    drop_step(archive, step)

    assert list_steps(archive) == []
    assert log.list_lines(archive) == [line]
    undo(archive)
    assert order(archive) == was


def test_step_is_got_by_name_or_number_and_an_unknown_one_told_with_all_there_are(archive: Archive):
    step = add_step(archive, "bleed the fuel")

    for words in ("bleed the fuel", "BLEED THE FUEL", f"S{step.step_id}", f" s{step.step_id} "):
        assert get_step(archive, words) == step
    with pytest.raises(NotFound, match=f'S{step.step_id} "bleed the fuel"'):
        get_step(archive, "prime the oil")
    drop_step(archive, step)
    with pytest.raises(NotFound, match="none yet"):
        get_step(archive, "bleed the fuel")


def test_words_name_a_hold_then_a_number_then_a_step(archive: Archive):
    mine = add_step(archive, "s9")
    assert resolve_step(archive, "s9") == mine
    tag = add_tag(archive, "s9", TagWords())

    assert resolve_step(archive, "s9") == tag.tag_id, "what is on the tape goes before the name of a step"
    for words in ("first-start", "First-Start", "before first start"):
        assert resolve_step(archive, words) is HoldPoint.FIRST_START
    assert resolve_step(archive, "lift-in") is HoldPoint.LIFT_IN
    with pytest.raises(NotFound):
        resolve_step(archive, "nothing")


@given(st.integers(1, 10**9) | st.sampled_from(HoldPoint) | st.builds(OwnStep, st.integers(1, 10**9), any_words))
def test_step_is_read_back_as_it_was_kept(step: int | HoldPoint | OwnStep):
    own = {step.step_id: step} if isinstance(step, OwnStep) else {}

    assert read_step(step_text(step), own) == step


def test_step_that_is_gone_is_read_as_none():
    assert read_step(step_text(OwnStep(7, "bleed the fuel")), {}) is None
