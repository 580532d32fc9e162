"""The way back as the person wants it: what goes after what, steps moved by hand, holds looked at, notes of days."""

from __future__ import annotations

from datetime import datetime

from asfound.model.log import HoldLook
from asfound.store.database import Store


def add_rule(store: Store, later_id: int, earlier_id: int) -> None:
    """Say that one thing is fitted after another."""
    store.run("INSERT OR IGNORE INTO fit_rule(later_id, earlier_id) VALUES (?, ?)", later_id, earlier_id)


def remove_rule(store: Store, later_id: int, earlier_id: int) -> bool:
    """Take such a rule away; whether there was one."""
    done = store.run("DELETE FROM fit_rule WHERE later_id = ? AND earlier_id = ?", later_id, earlier_id)
    return done.rowcount > 0


def list_rules(store: Store, job_id: int) -> list[tuple[int, int]]:
    """Rules as (later, earlier), in the order in which they were said."""
    rows = store.rows(
        "SELECT later_id, earlier_id FROM fit_rule JOIN tag ON tag_id = later_id WHERE job_id = ? "
        "ORDER BY fit_rule.rowid",
        job_id,
    )
    return [(row["later_id"], row["earlier_id"]) for row in rows]


def add_move(store: Store, job_id: int, step: str, side: str, other: str) -> None:
    """Put a step right before or after another; steps are tag ids or names of holds, as text."""
    store.run("INSERT INTO refit_move(job_id, step, side, other) VALUES (?, ?, ?, ?)", job_id, step, side, other)


def list_moves(store: Store, job_id: int) -> list[tuple[str, str, str]]:
    """Moves as (step, side, other), oldest first."""
    rows = store.rows("SELECT step, side, other FROM refit_move WHERE job_id = ? ORDER BY move_id", job_id)
    return [(row["step"], row["side"], row["other"]) for row in rows]


def pass_hold(store: Store, job_id: int, hold: str, at: datetime, by_whom: str, *, is_day_only: bool = False) -> None:
    """Write down that a hold was looked at; every look is kept."""
    store.run(
        "INSERT INTO hold_word(job_id, hold, at, by_whom, is_day_only) VALUES (?, ?, ?, ?, ?)",
        *(job_id, hold, at.isoformat(), by_whom, is_day_only),
    )


def list_looks(store: Store, job_id: int) -> list[HoldLook]:
    """Every look at a hold, in the order in which they were written down."""
    rows = store.rows("SELECT * FROM hold_word WHERE job_id = ? ORDER BY look_id", job_id)
    return [
        HoldLook(row["hold"], datetime.fromisoformat(row["at"]), row["by_whom"], bool(row["is_day_only"]))
        for row in rows
    ]


def list_holds(store: Store, job_id: int) -> dict[str, tuple[datetime, str]]:
    """Holds that were looked at, with when and by whom at the latest."""
    looks = sorted(list_looks(store, job_id), key=lambda look: look.at)
    return {look.hold: (look.at, look.by_whom) for look in looks}


def add_step(store: Store, job_id: int, name: str, *, is_hold: bool) -> int:
    """Put a step of the person's own on the list and return its id."""
    cursor = store.run("INSERT INTO refit_step(job_id, name, is_hold) VALUES (?, ?, ?)", job_id, name, is_hold)
    return int(cursor.lastrowid or 0)


def remove_step(store: Store, job_id: int, step_id: int, move: str) -> None:
    """Take such a step off the list, and the moves that name it (as text, `move`)."""
    store.run("DELETE FROM refit_move WHERE job_id = ? AND (step = ? OR other = ?)", job_id, move, move)
    store.run("DELETE FROM refit_step WHERE step_id = ?", step_id)


def list_steps(store: Store, job_id: int) -> list[tuple[int, str, bool]]:
    """A person's own steps as (id, name, whether it is a hold), in the order in which they were put on the list."""
    rows = store.rows("SELECT * FROM refit_step WHERE job_id = ? ORDER BY step_id", job_id)
    return [(row["step_id"], row["name"], bool(row["is_hold"])) for row in rows]


def save_day_note(store: Store, job_id: int, day: str, note: str) -> None:
    """Set the note of a day (YYYY-MM-DD)."""
    store.run(
        "INSERT INTO day_note(job_id, day, note) VALUES (?, ?, ?) ON CONFLICT DO UPDATE SET note = excluded.note",
        *(job_id, day, note),
    )


def list_day_notes(store: Store, job_id: int) -> dict[str, str]:
    """Day to its note, oldest first."""
    rows = store.rows("SELECT day, note FROM day_note WHERE job_id = ? ORDER BY day", job_id)
    return {row["day"]: row["note"] for row in rows}


def list_note_rows(store: Store, job_id: int) -> list[tuple[int, str]]:
    """Notes of days with the ids they are searched by."""
    return [(row[0], row[1]) for row in store.rows("SELECT rowid, note FROM day_note WHERE job_id = ?", job_id)]


def get_note_row(store: Store, rowid: int) -> tuple[str, str]:
    """Day and note by that id."""
    row = store.row("SELECT day, note FROM day_note WHERE rowid = ?", rowid)
    return ("", "") if row is None else (row["day"], row["note"])
