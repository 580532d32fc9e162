"""Answers to the walk round, and a person's own items of it."""

from __future__ import annotations

from asfound.model.walk import WalkAnswer
from asfound.store.database import Store


def add_item(store: Store, job_id: int, name: str) -> None:
    """Put an item of the person's own on the list; a second time changes nothing."""
    store.run("INSERT OR IGNORE INTO walk_item(job_id, name) VALUES (?, ?)", job_id, name)


def remove_item(store: Store, job_id: int, name: str) -> None:
    """Take an own item off the list, with its answers."""
    clear_answers(store, job_id, name)
    store.run("DELETE FROM walk_item WHERE job_id = ? AND name = ?", job_id, name)


def list_items(store: Store, job_id: int) -> list[str]:
    """Names of a job's own items in the order in which they were entered."""
    return [
        str(row["name"]) for row in store.rows("SELECT name FROM walk_item WHERE job_id = ? ORDER BY item_id", job_id)
    ]


def save_answer(store: Store, job_id: int, answer: WalkAnswer) -> None:
    """Write down an answer; the same picture a second time changes nothing, another reason replaces the first."""
    store.run(
        "DELETE FROM walk_answer WHERE job_id = ? AND item = ? AND picture_id IS ? AND not_here <> ?",
        *(job_id, answer.item, answer.picture_id, answer.not_here),
    )
    store.run(
        "INSERT INTO walk_answer(job_id, item, picture_id, not_here) SELECT ?, ?, ?, ? WHERE NOT EXISTS "
        "(SELECT 1 FROM walk_answer WHERE job_id = ? AND item = ? AND picture_id IS ?)",
        *(job_id, answer.item, answer.picture_id, answer.not_here, job_id, answer.item, answer.picture_id),
    )


def clear_answers(store: Store, job_id: int, item: str) -> None:
    """Take every answer to an item away."""
    store.run("DELETE FROM walk_answer WHERE job_id = ? AND item = ?", job_id, item)


def list_answers(store: Store, job_id: int) -> list[WalkAnswer]:
    """Answers of a job in the order in which they were given."""
    rows = store.rows("SELECT * FROM walk_answer WHERE job_id = ? ORDER BY answer_id", job_id)
    return [WalkAnswer(row["item"], row["picture_id"], row["not_here"]) for row in rows]
