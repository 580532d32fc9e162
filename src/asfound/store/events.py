"""The log: lines are only ever added; one that was wrong is struck out by a later one."""

from __future__ import annotations

import sqlite3
from datetime import datetime

from asfound.core.log.ends_off import of_the_whole
from asfound.errors import NotFound
from asfound.model.log import NOT_SO, Event, LogLine
from asfound.store.database import Store

_COLUMNS = "end how bag what amount container looks by_whom note grade promised"
_FILE = "COALESCE((SELECT file FROM picture WHERE picture_id = event.{0}_id), '') AS {0}"
_STANDS = "NOT EXISTS (SELECT 1 FROM event AS later WHERE later.strikes = event.event_id)"
_LINE = f"event.*, NOT {_STANDS} AS is_struck, {_FILE.format('picture')}, {_FILE.format('beside')}"


def add_event(
    store: Store,
    tag_id: int | None,
    kind: str,
    at: datetime,
    entered_at: datetime,
    *,
    job_id: int | None = None,
    is_day_only: bool = False,
    strikes: int | None = None,
    picture_id: int | None = None,
    beside_id: int | None = None,
    **words: str,
) -> int:
    """Write down a line and return its id; `job_id` is needed only for what is of no tag."""
    if unknown := words.keys() - set(_COLUMNS.split()):
        raise ValueError(str(unknown))
    if job_id is None:
        job_id = store.value("SELECT job_id FROM tag WHERE tag_id = ?", tag_id)
    names = "".join(f', "{name}"' for name in words)
    marks = ", ?" * len(words)
    cursor = store.run(
        "INSERT INTO event(job_id, tag_id, kind, at, is_day_only, strikes, picture_id, beside_id, entered_at"
        f"{names}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?{marks})",
        *(job_id, tag_id, kind, at.isoformat(), is_day_only, strikes, picture_id, beside_id, entered_at.isoformat()),
        *words.values(),
    )
    return int(cursor.lastrowid or 0)


def list_events(store: Store, job_id: int) -> list[Event]:
    """What came off and went back, in the order in which it happened; struck lines are left out.

    A thing is refitted once each end that came off is back.
    """
    rows = store.rows(
        f"SELECT * FROM event WHERE job_id = ? AND kind IN ('off', 'refitted') AND tag_id IS NOT NULL AND {_STANDS}",
        job_id,
    )
    return of_the_whole(sorted(map(_event, rows), key=lambda event: (event.at, event.event_id)))


def find_events(store: Store, tag_id: int) -> list[Event]:
    """When one tag came off and went back, in the order in which it happened; struck lines are left out."""
    rows = store.rows(f"SELECT * FROM event WHERE tag_id = ? AND kind IN ('off', 'refitted') AND {_STANDS}", tag_id)
    return of_the_whole(sorted(map(_event, rows), key=lambda event: (event.at, event.event_id)))


def get_event(store: Store, event_id: int) -> Event:
    """One line that says that a thing came off or went back; `NotFound` if there is none."""
    row = store.row("SELECT * FROM event WHERE event_id = ? AND kind IN ('off', 'refitted')", event_id)
    if row is None:
        raise NotFound(f"No line {event_id} of the log says that something came off or went back. See: asfound log")
    return _event(row)


def list_lines(store: Store, job_id: int) -> list[LogLine]:
    """Every line of a job in the order in which things happened, struck ones too."""
    rows = store.rows(f"SELECT {_LINE} FROM event WHERE job_id = ?", job_id)
    return sorted(map(_line, rows), key=lambda line: (line.at, line.event_id))


def find_lines(store: Store, tag_id: int) -> list[LogLine]:
    """Every line of one thing in the order in which things happened, struck ones too."""
    rows = store.rows(f"SELECT {_LINE} FROM event WHERE tag_id = ?", tag_id)
    return sorted(map(_line, rows), key=lambda line: (line.at, line.event_id))


def list_loose_lines(store: Store, job_id: int) -> list[LogLine]:
    """Lines of a job that are of no tag, such as oil drained, struck ones too."""
    rows = store.rows(f"SELECT {_LINE} FROM event WHERE job_id = ? AND tag_id IS NULL", job_id)
    return sorted(map(_line, rows), key=lambda line: (line.at, line.event_id))


def find_line(store: Store, job_id: int, event_id: int) -> LogLine | None:
    """One line by the number that the log shows."""
    row = store.row(f"SELECT {_LINE} FROM event WHERE job_id = ? AND event_id = ?", job_id, event_id)
    return None if row is None or row["kind"] == NOT_SO else _line(row)


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
        is_day_only=bool(row["is_day_only"]),
        end=row["end"],
    )


def _line(row: sqlite3.Row) -> LogLine:
    return LogLine(
        event_id=row["event_id"],
        tag_id=row["tag_id"],
        kind=row["kind"],
        at=datetime.fromisoformat(row["at"]),
        is_day_only=bool(row["is_day_only"]),
        strikes=row["strikes"],
        entered_at=datetime.fromisoformat(row["entered_at"]),
        is_struck=bool(row["is_struck"]),
        picture_id=row["picture_id"],
        beside_id=row["beside_id"],
        picture=row["picture"],
        beside=row["beside"],
        **{name: row[name] for name in _COLUMNS.split()},
    )
