"""Snags: what was broken, stuck, missing, to be bought or decided."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from asfound.model.log import Snag
from asfound.store.database import Store

_COLUMNS = frozenset("tag_id picture_id bag_id place what buy bought_at closed_at closed_how".split())


def add_snag(store: Store, job_id: int, label: str, found_at: datetime, *, is_day_only: bool, what: str) -> int:
    """Write a snag down and return its id."""
    cursor = store.run(
        "INSERT INTO snag(job_id, label, found_at, is_day_only, what) VALUES (?, ?, ?, ?, ?)",
        *(job_id, label, found_at.isoformat(), is_day_only, what),
    )
    return int(cursor.lastrowid or 0)


def change_snag(store: Store, snag_id: int, **words: Any) -> None:
    """Set fields of a snag."""
    for column, value in words.items():
        if column not in _COLUMNS:
            raise ValueError(column)
        store.run(f"UPDATE snag SET {column} = ? WHERE snag_id = ?", value, snag_id)


def list_snags(store: Store, job_id: int) -> list[Snag]:
    """Snags of a job in the order in which they were entered."""
    rows = store.rows("SELECT * FROM snag WHERE job_id = ? ORDER BY snag_id", job_id)
    return [
        Snag(
            **{
                **dict(row),
                "found_at": datetime.fromisoformat(row["found_at"]),
                "is_day_only": bool(row["is_day_only"]),
            }
        )
        for row in rows
    ]
