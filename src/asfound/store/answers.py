"""A person's answers to gaps: a number that was never used, a thing that stays as it is."""

from __future__ import annotations

from asfound.store.database import Store


def settle_number(store: Store, job_id: int, number: str, word: str) -> None:
    """Say why a number is missing in the run."""
    store.run(
        "INSERT INTO number_word(job_id, number, word) VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET word = excluded.word",
        *(job_id, number, word),
    )


def settled_numbers(store: Store, job_id: int) -> dict[str, str]:
    """Missing numbers with what was said of them."""
    rows = store.rows("SELECT number, word FROM number_word WHERE job_id = ?", job_id)
    return {row["number"]: row["word"] for row in rows}


def answer_gap(store: Store, job_id: int, gap: str, about: str, word: str) -> None:
    """Say that a gap stays, and why."""
    store.run(
        "INSERT INTO gap_word(job_id, gap, about, word) VALUES (?, ?, ?, ?) "
        "ON CONFLICT DO UPDATE SET word = excluded.word",
        *(job_id, gap, about, word),
    )


def answered_gaps(store: Store, job_id: int) -> dict[tuple[str, str], str]:
    """Answers by kind of gap and what it is about."""
    rows = store.rows("SELECT gap, about, word FROM gap_word WHERE job_id = ?", job_id)
    return {(row["gap"], row["about"]): row["word"] for row in rows}
