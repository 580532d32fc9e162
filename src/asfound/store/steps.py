"""The steps of a person as a list: what stands, what was taken back, and what stands on what."""

from __future__ import annotations

import sqlite3
from datetime import datetime

from asfound.model.steps import Step, Writer
from asfound.store.database import STANDING, TAKEN_BACK, Store

_STEP = "step.*, (SELECT COUNT(*) FROM undo_line WHERE undo_line.step_id = step.step_id) AS changes"


def list_standing(store: Store, limit: int) -> list[Step]:
    """Steps that can still be taken back, latest first."""
    rows = store.rows(f"SELECT {_STEP} FROM step WHERE {STANDING} ORDER BY step_id DESC LIMIT ?", limit)
    return [_step(row) for row in rows]


def list_all(store: Store, limit: int) -> list[Step]:
    """All steps, those that were taken back too, latest first."""
    rows = store.rows(f"SELECT {_STEP} FROM step WHERE kind <> ? ORDER BY step_id DESC LIMIT ?", *(TAKEN_BACK, limit))
    return [_step(row) for row in rows]


def list_taken_back(store: Store, limit: int) -> list[Step]:
    """Steps that were taken back and can be brought back, in the order in which they would be."""
    rows = store.rows(
        f"SELECT {_STEP} FROM step JOIN step AS back ON back.undoes = step.step_id "
        "WHERE back.kind = ? AND back.redone_at IS NULL ORDER BY back.step_id DESC LIMIT ?",
        *(TAKEN_BACK, limit),
    )
    return [_step(row) for row in rows]


def stands_on(store: Store, step_id: int) -> Step | None:
    """The latest later step that changed a row which this one wrote; None when nothing stands on it."""
    row = store.row(
        f"SELECT {_STEP} FROM step WHERE {STANDING} AND step_id > ? AND (EXISTS ("
        "SELECT 1 FROM undo_line AS later JOIN undo_line AS mine USING (its_table, its_row) "
        "WHERE later.step_id = step.step_id AND mine.step_id = ?) "
        "OR EXISTS (SELECT 1 FROM undo_line WHERE step_id = ? AND its_table IS NULL)) ORDER BY step_id DESC LIMIT 1",
        *(step_id, step_id, step_id),
    )
    return None if row is None else _step(row)


def _step(row: sqlite3.Row) -> Step:
    return Step(
        step_id=row["step_id"],
        at=datetime.fromisoformat(row["at"]),
        words=row["words"],
        writer=Writer(row["sitting"], row["who"]),
        kind=row["kind"],
        changes=row["changes"],
        undone_at=None if row["undone_at"] is None else datetime.fromisoformat(row["undone_at"]),
    )
