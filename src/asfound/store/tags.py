"""Tags and their ends."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from datetime import datetime
from typing import Any

from asfound.errors import NotFound
from asfound.model.tags import EndLetter, Tag, TagEnd
from asfound.store.database import Store

_ORDERED = """
    SELECT tag.*, ROW_NUMBER() OVER (PARTITION BY job_id, number ORDER BY tag_id) AS "order",
           COALESCE((SELECT bag FROM event WHERE event.tag_id = tag.tag_id AND kind = 'off' AND bag != ''
                     ORDER BY at DESC, event_id DESC LIMIT 1), '') AS bag
    FROM tag
"""
_TAG_COLUMNS = frozenset({"number", "kind", "name", "ends", "note", "flow", "size"})
_END_COLUMNS = frozenset({"place", "how_it_sat", "colour", "capped", "tape_lost"})


def add_tag(store: Store, job_id: int, number: str, at: datetime, *, kind: str, name: str, ends: int) -> int:
    """Make a tag with its ends and return its id; the same number may be on several things."""
    cursor = store.run(
        "INSERT INTO tag(job_id, number, kind, name, ends, created_at) VALUES (?, ?, ?, ?, ?, ?)",
        job_id,
        number,
        kind,
        name,
        ends,
        at.isoformat(),
    )
    tag_id = int(cursor.lastrowid or 0)
    for end in ("A", "B")[:ends]:
        store.run('INSERT INTO tag_end(tag_id, "end") VALUES (?, ?)', tag_id, end)
    return tag_id


def change_tag(store: Store, tag_id: int, **words: Any) -> None:
    """Set fields of a tag; making it two-ended adds the missing end, making it one-ended keeps what was said of B."""
    for column, value in words.items():
        if column not in _TAG_COLUMNS:
            raise ValueError(column)
        store.run(f"UPDATE tag SET {column} = ? WHERE tag_id = ?", value, tag_id)
    if words.get("ends") == 2:
        store.run('INSERT OR IGNORE INTO tag_end(tag_id, "end") VALUES (?, ?)', tag_id, "B")


def change_end(store: Store, tag_id: int, end: EndLetter, **words: Any) -> None:
    """Set fields of one end."""
    for column, value in words.items():
        if column not in _END_COLUMNS:
            raise ValueError(column)
        store.run(f'UPDATE tag_end SET {column} = ? WHERE tag_id = ? AND "end" = ?', value, tag_id, end)


def remove_tag(store: Store, tag_id: int) -> None:
    """Remove a tag with its ends, pins, rejections and events."""
    for table in ("pin", "rejection", "proposal", "event", "tag_end", "tag"):
        store.run(f"DELETE FROM {table} WHERE tag_id = ?", tag_id)


def get_tag(store: Store, tag_id: int) -> Tag:
    """One tag by its hidden identity; `NotFound` if there is none."""
    row = store.row(f"SELECT * FROM ({_ORDERED}) WHERE tag_id = ?", tag_id)
    if row is None:
        raise NotFound(f"There is no tag with the identity {tag_id}.")
    return _tag(row)


def list_tags(store: Store, job_id: int) -> list[Tag]:
    """All tags of a job in the order in which they were entered."""
    return [_tag(row) for row in store.rows(f"{_ORDERED} WHERE job_id = ? ORDER BY tag_id", job_id)]


def find_tags_by_number(store: Store, job_id: int, number: str) -> list[Tag]:
    """Tags with exactly this number, oldest first."""
    rows = store.rows(f"SELECT * FROM ({_ORDERED} WHERE job_id = ?) WHERE number = ? ORDER BY tag_id", job_id, number)
    return [_tag(row) for row in rows]


def list_ends(store: Store, job_id: int) -> dict[int, tuple[TagEnd, ...]]:
    """Tag to its ends, A before B; an end left over from when the tag had two is not listed."""
    rows = store.rows(
        'SELECT tag_end.* FROM tag_end JOIN tag USING (tag_id) WHERE job_id = ? AND ("end" = ? OR ends = 2) '
        'ORDER BY tag_id, "end"',
        job_id,
        "A",
    )
    ends: dict[int, list[TagEnd]] = defaultdict(list)
    for row in rows:
        ends[row["tag_id"]].append(_end(row))
    return {tag_id: tuple(found) for tag_id, found in ends.items()}


def known_numbers(store: Store, job_id: int) -> frozenset[str]:
    """The numbers in use in a job."""
    return frozenset(row[0] for row in store.rows("SELECT DISTINCT number FROM tag WHERE job_id = ?", job_id))


def _tag(row: sqlite3.Row) -> Tag:
    return Tag(
        tag_id=row["tag_id"],
        job_id=row["job_id"],
        number=row["number"],
        order=row["order"],
        kind=row["kind"],
        name=row["name"],
        ends=row["ends"],
        note=row["note"],
        flow=row["flow"],
        size=row["size"],
        bag=row["bag"],
        created_at=datetime.fromisoformat(row["created_at"]),
    )


def _end(row: sqlite3.Row) -> TagEnd:
    return TagEnd(
        tag_id=row["tag_id"],
        end=row["end"],
        place=row["place"],
        how_it_sat=row["how_it_sat"],
        capped=None if row["capped"] is None else bool(row["capped"]),
        colour=row["colour"],
        tape_lost=bool(row["tape_lost"]),
    )
