"""The way back as it is listed: each step with what it waits for, after what is to be looked at again."""

from __future__ import annotations

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.fit import pass_hold
from asfound.actions.fit_list import ListedStep, list_fit_steps
from asfound.actions.fitting import fit_after
from asfound.actions.job import new_job
from asfound.actions.known import known_tags
from asfound.actions.look_over import look_over
from asfound.actions.undo import undo
from asfound.core.refit.steps import HoldPoint
from asfound.model.tags import Tag
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)


@pytest.fixture
def things(archive: Archive) -> tuple[Tag, Tag, Tag]:
    """Both that are numbered 12, and 17; all are off."""
    first, second, third, *_ = known_tags(archive).values()
    for one in (first, second, third):
        log.mark_off(archive, one)
    pass_hold(archive, HoldPoint.LIFT_IN, "yard engineer")
    return first, second, third


def labels(steps: object) -> list[str]:
    assert isinstance(steps, tuple)
    return [step.card.label if step.card else str(step.step) for step in steps]


def step_of(archive: Archive, tag: Tag) -> ListedStep:
    return next(one for one in list_fit_steps(archive) if one.step == tag.tag_id)


def test_nothing_is_to_fit_while_nothing_is_off(archive: Archive):
    assert list_fit_steps(archive) == ()


def test_what_came_off_last_is_fitted_first_and_the_engine_is_started_after_all(
    archive: Archive, things: tuple[Tag, Tag, Tag]
):
    steps = list_fit_steps(archive)

    assert labels(steps) == ["17", "12.2", "12.1", "before first start"]
    assert [one.is_free for one in steps] == [True, True, True, False]
    assert steps[-1].hold is HoldPoint.FIRST_START
    assert steps[-1].missing == ("17", "12.2", "12.1")
    assert steps[0].hold is None


def test_what_a_step_waits_for_is_named_as_it_is_typed_and_goes_when_that_is_in(
    archive: Archive, things: tuple[Tag, Tag, Tag]
):
    first, second, third = things
    fit_after(archive, third, [first, second])
    assert sorted(step_of(archive, third).missing) == ["12.1", "12.2"]

    log.mark_refitted(archive, second, how="tight")
    assert step_of(archive, third).missing == ("12.1",)

    log.mark_refitted(archive, first, how="by hand")
    found = step_of(archive, third)
    assert (found.missing, found.loose, found.is_free) == ((), ("12.1",), True)

    undo(archive)
    assert step_of(archive, third).missing == ("12.1",)


def test_what_was_called_wrong_stands_before_every_step_until_it_is_called_right(
    archive: Archive, things: tuple[Tag, Tag, Tag]
):
    _, second, _ = things
    log.mark_refitted(archive, second)
    look_over(archive, second, "wrong", note="clamp loose")

    first, *rest = list_fit_steps(archive)
    assert first.said is not None
    assert (first.card and first.card.label, first.said.note) == ("12.2", "clamp loose")
    assert [one.said for one in rest] == [None] * len(rest)

    look_over(archive, second, "right")
    assert all(one.said is None for one in list_fit_steps(archive))


def test_another_job_has_a_way_back_of_its_own(archive: Archive, things: tuple[Tag, Tag, Tag]):
    new_job(archive, "Tern", zone="UTC")

    assert list_fit_steps(archive) == ()
