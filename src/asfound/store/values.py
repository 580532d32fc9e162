"""Values out of the service manual, as a person typed them."""

from __future__ import annotations

from asfound.model.values import ManualValue
from asfound.store.database import Store

_COLUMNS = ("wanted", "limits", "page")


def add_value(store: Store, job_id: int, tag_id: int | None, thing: str, what: str) -> int:
    """Add a value with nothing said of it yet, and return its id."""
    cursor = store.run(
        "INSERT INTO manual_value(job_id, tag_id, thing, what) VALUES (?, ?, ?, ?)", job_id, tag_id, thing, what
    )
    return int(cursor.lastrowid or 0)


def change_value(store: Store, value_id: int, **words: str) -> None:
    """Set what is said of a value: wanted, limits, page."""
    if unknown := words.keys() - set(_COLUMNS):
        raise ValueError(str(unknown))
    for name, word in words.items():
        store.run(f"UPDATE manual_value SET {name} = ? WHERE value_id = ?", word, value_id)


def remove_value(store: Store, value_id: int) -> None:
    """Take a value away."""
    store.run("DELETE FROM manual_value WHERE value_id = ?", value_id)


def list_values(store: Store, job_id: int) -> list[ManualValue]:
    """Values of a job in the order in which they were typed."""
    rows = store.rows("SELECT * FROM manual_value WHERE job_id = ? ORDER BY value_id", job_id)
    return [
        ManualValue(row["value_id"], row["tag_id"], row["thing"], row["what"], *(row[name] for name in _COLUMNS))
        for row in rows
    ]
