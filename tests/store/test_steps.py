"""The steps of a person as a list: what stands, what was taken back, and what stands on what."""

from __future__ import annotations

from datetime import timedelta

import pytest

from asfound.errors import NothingToUndo
from asfound.model.steps import NOBODY, Writer
from asfound.store import events, steps, tags
from asfound.store.database import Store
from tests.store.filled import NOW, person_rows

MINUTE = timedelta(minutes=1)
SCREENS = Writer("screens 1", "the screens, opened at 09:12")


def enter(store: Store, *names: str) -> None:
    """One step for each name: the name of tag 1."""
    for number, name in enumerate(names):
        with store.step(f"named {name}", NOW + number * MINUTE):
            tags.change_tag(store, 1, name=name)


def words(found: list[steps.Step]) -> list[str]:
    return [step.words for step in found]


def test_step_tells_when_by_whom_of_what_kind_and_how_much(store: Store):
    with store.step("tags from day1.csv brought in", NOW, by=SCREENS, kind="import"):
        for number in ("18", "19"):
            tags.add_tag(store, 1, number, NOW, kind="hose", name="", ends=1)

    (step,) = steps.list_standing(store, 9)

    assert (step.words, step.at, step.writer, step.kind) == (
        "tags from day1.csv brought in", NOW, SCREENS, "import",
    )  # fmt: skip
    assert step.changes == 4, "two tags with an end each"
    assert step.undone_at is None


def test_step_of_nobody_says_so(store: Store):
    enter(store, "hose")

    assert steps.list_standing(store, 1)[0].writer == NOBODY


def test_lists_are_latest_first_and_no_longer_than_asked(store: Store):
    enter(store, "one", "two", "three")

    assert words(steps.list_standing(store, 9)) == ["named three", "named two", "named one"]
    assert words(steps.list_standing(store, 2)) == ["named three", "named two"]
    assert words(steps.list_all(store, 1)) == ["named three"]
    assert steps.list_taken_back(store, 9) == []


def test_what_was_taken_back_leaves_one_list_for_the_other(store: Store):
    enter(store, "one", "two")

    store.undo(NOW + 5 * MINUTE)

    assert words(steps.list_standing(store, 9)) == ["named one"]
    assert words(steps.list_taken_back(store, 9)) == ["named two"]
    shown = steps.list_all(store, 9)
    assert words(shown) == ["named two", "named one"]
    assert [step.undone_at for step in shown] == [NOW + 5 * MINUTE, None]

    store.redo(NOW + 6 * MINUTE)
    assert words(steps.list_standing(store, 9)) == ["named two", "named one"]
    assert steps.list_taken_back(store, 9) == []
    assert steps.list_all(store, 9)[0].undone_at is None


def test_what_can_be_brought_back_stands_in_the_order_in_which_it_would_be(store: Store):
    enter(store, "one", "two", "three")
    for _ in range(3):
        store.undo(NOW)

    expected = words(steps.list_taken_back(store, 9))

    assert expected == ["named one", "named two", "named three"]
    assert [store.redo(NOW) for _ in expected] == expected
    with pytest.raises(NothingToUndo):
        store.redo(NOW)


def test_later_step_on_the_same_row_stands_on_an_earlier_one(store: Store):
    enter(store, "one", "two", "three")
    last, middle, first = steps.list_standing(store, 9)

    assert steps.stands_on(store, first.step_id) == last, "the latest of those that do"
    assert steps.stands_on(store, middle.step_id) == last
    assert steps.stands_on(store, last.step_id) is None


def test_step_on_another_row_stands_on_none(store: Store):
    enter(store, "one")
    with store.step("tag 18 added", NOW):
        tags.add_tag(store, 1, "18", NOW, kind="hose", name="", ends=1)
    with store.step("18 off", NOW):
        events.add_event(store, 2, "off", NOW, NOW)

    *_, first = steps.list_standing(store, 9)

    assert steps.stands_on(store, first.step_id) is None


def test_step_that_was_taken_back_stands_on_nothing(store: Store):
    enter(store, "one", "two")
    first = steps.list_standing(store, 9)[1]
    store.undo(NOW)

    assert steps.stands_on(store, first.step_id) is None


def test_step_between_others_is_taken_back_alone(store: Store):
    before = person_rows(store)
    with store.step("tag 18 added", NOW):
        tags.add_tag(store, 1, "18", NOW, kind="hose", name="", ends=1)
    enter(store, "one")
    added = steps.list_standing(store, 9)[1]

    store.undo(NOW, added.step_id)

    assert words(steps.list_standing(store, 9)) == ["named one"]
    store.undo(NOW)
    after = person_rows(store)
    assert {table: rows for table, rows in after.items() if table != "step"} == {
        table: rows for table, rows in before.items() if table != "step"
    }


def test_step_that_was_taken_back_once_is_not_taken_back_by_its_number(store: Store):
    enter(store, "one")
    step = steps.list_standing(store, 9)[0]
    store.undo(NOW, step.step_id)

    with pytest.raises(NothingToUndo):
        store.undo(NOW, step.step_id)
