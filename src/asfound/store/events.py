"""The log: off, refitted, bags, and words on numbers."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from asfound.model.log import Event
from asfound.store.database import Store


@dataclass(frozen=True, slots=True)
class Bag:
    """A numbered bag or bin of fasteners."""

    bag_id: int
    job_id: int
    label: str
    contents: str
    place: str
    count_out: int | None
    count_back: int | None
    note: str


def add_event(
    store: Store,
    tag_id: int,
    kind: Literal["off", "refitted"],
    at: datetime,
    entered_at: datetime,
    *,
    how: str = "",
    bag: str = "",
    note: str = "",
) -> int:
    """Write down an event and return its id."""
    cursor = store.run(
        "INSERT INTO event(tag_id, kind, at, how, bag, note, entered_at) VALUES (?, ?, ?, ?, ?, ?, ?)",
        *(tag_id, kind, at.isoformat(), how, bag, note, entered_at.isoformat()),
    )
    return int(cursor.lastrowid or 0)


def list_events(store: Store, job_id: int) -> list[Event]:
    """The log of a job in the order in which things happened."""
    rows = store.rows("SELECT event.* FROM event JOIN tag USING (tag_id) WHERE job_id = ?", job_id)
    return sorted(map(_event, rows), key=lambda event: (event.at, event.event_id))


def find_events(store: Store, tag_id: int) -> list[Event]:
    """The events of one tag in the order in which they happened."""
    rows = store.rows("SELECT * FROM event WHERE tag_id = ?", tag_id)
    return sorted(map(_event, rows), key=lambda event: (event.at, event.event_id))


def save_bag(store: Store, job_id: int, label: str) -> None:
    """Make sure that a bag with this label is written down."""
    if store.value("SELECT bag_id FROM bag WHERE job_id = ? AND label = ?", job_id, label) is None:
        store.run("INSERT INTO bag(job_id, label) VALUES (?, ?)", job_id, label)


def list_bags(store: Store, job_id: int) -> list[Bag]:
    """Bags of a job in the order in which they were entered."""
    rows = store.rows("SELECT * FROM bag WHERE job_id = ? ORDER BY bag_id", job_id)
    return [Bag(**dict(row)) for row in rows]


def _event(row: sqlite3.Row) -> Event:
    return Event(
        event_id=row["event_id"],
        tag_id=row["tag_id"],
        kind=row["kind"],
        at=datetime.fromisoformat(row["at"]),
        how=row["how"],
        bag=row["bag"],
        note=row["note"],
        entered_at=datetime.fromisoformat(row["entered_at"]),
    )
