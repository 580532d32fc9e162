"""Answers to the walk round and own items of it: what is kept, what replaces what, and that undo covers it."""

from __future__ import annotations

from asfound.model.walk import WalkAnswer
from asfound.store import jobs, walk
from asfound.store.database import Store
from tests.store.filled import NOW, person_rows


def test_pictures_add_up_and_a_reason_replaces_the_one_before(store: Store):
    for answer in (
        WalkAnswer("plate", 1),
        WalkAnswer("plate", 1),
        WalkAnswer("plate", 2),
        WalkAnswer("fuses", not_here="none"),
        WalkAnswer("fuses", not_here="none"),
        WalkAnswer("fuses", not_here="in the cabin"),
    ):
        walk.save_answer(store, 1, answer)

    assert walk.list_answers(store, 1) == [
        WalkAnswer("plate", 1),
        WalkAnswer("plate", 2),
        WalkAnswer("fuses", not_here="in the cabin"),
    ]
    walk.clear_answers(store, 1, "plate")
    assert [one.item for one in walk.list_answers(store, 1)] == ["fuses"]


def test_own_items_are_of_one_job_and_go_with_their_answers(store: Store):
    other = jobs.add_job(store, "Other", "Etc/UTC", NOW).job_id
    for job_id, name in ((1, "keel"), (1, "keel"), (1, "mast"), (other, "keel")):
        walk.add_item(store, job_id, name)
        walk.save_answer(store, job_id, WalkAnswer(name, 1))

    walk.remove_item(store, 1, "keel")

    assert (walk.list_items(store, 1), walk.list_items(store, other)) == (["mast"], ["keel"])
    assert [one.item for one in walk.list_answers(store, 1)] == ["mast"]
    assert [one.item for one in walk.list_answers(store, other)] == ["keel"]


def test_every_change_is_taken_back_and_comes_again(store: Store):
    states = [person_rows(store)]
    for change in (
        lambda: walk.add_item(store, 1, "it's the keel"),
        lambda: walk.save_answer(store, 1, WalkAnswer("it's the keel", 1)),
        lambda: walk.save_answer(store, 1, WalkAnswer("plate", not_here="no\x00plate")),
        lambda: walk.save_answer(store, 1, WalkAnswer("plate", not_here="painted over")),
        lambda: walk.remove_item(store, 1, "it's the keel"),
        lambda: walk.clear_answers(store, 1, "plate"),
    ):
        with store.step("said", NOW):
            change()
        states.append(person_rows(store))

    for before in reversed(states[:-1]):
        store.undo(NOW)
        assert person_rows(store) == before
    for after in states[1:]:
        store.redo(NOW)
        assert person_rows(store) == after
