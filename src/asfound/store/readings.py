"""What was read in pictures: markers and tape numbers, as read, before they are weighed against anything."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from asfound.core.pins.numbering import upside_down
from asfound.core.read.reading import Reading
from asfound.store.database import Store


def unread_pictures(store: Store, job_id: int, readers: Iterable[str]) -> list[int]:
    """Pictures that can be shown and that none of these readers has read yet, in order of id."""
    names = sorted(set(readers))
    marks = ", ".join("?" * len(names))
    rows = store.rows(
        "SELECT picture_id FROM machine_picture WHERE job_id = ? AND phash IS NOT NULL AND picture_id NOT IN "
        f"(SELECT picture_id FROM read_by WHERE reader IN ({marks})) ORDER BY picture_id",
        job_id,
        *names,
    )
    return [row[0] for row in rows]


def save_readings(store: Store, picture_id: int, reader: str, readings: Iterable[Reading]) -> None:
    """Replace what was read in a picture, and write down who read it; call it inside `transaction()`."""
    store.run("DELETE FROM reading WHERE picture_id = ?", picture_id)
    store.run("INSERT OR REPLACE INTO read_by(picture_id, reader) VALUES (?, ?)", picture_id, reader)
    store.run_many(
        'INSERT INTO reading(picture_id, number, "end", how, x_frac, y_frac, w_frac, h_frac, confidence) '
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [(picture_id, r.number, r.end, r.how, r.x_frac, r.y_frac, r.w_frac, r.h_frac, r.confidence) for r in readings],
    )


def has_readings(store: Store) -> bool:
    """Whether anything was read in any picture."""
    return bool(store.value("SELECT EXISTS (SELECT 1 FROM reading)"))


def load_readings(store: Store, job_id: int) -> dict[int, list[Reading]]:
    """Picture to what was read in it, surest first; pictures in which nothing was read are left out."""
    rows = store.rows(
        "SELECT reading.* FROM reading JOIN machine_picture USING (picture_id) WHERE job_id = ? "
        "ORDER BY picture_id, confidence DESC, reading_id",
        job_id,
    )
    found: dict[int, list[Reading]] = defaultdict(list)
    for row in rows:
        other = upside_down(row["number"]) if row["how"] == "written" else None
        found[row["picture_id"]].append(
            Reading(
                number=row["number"],
                end=row["end"],
                how=row["how"],
                x_frac=row["x_frac"],
                y_frac=row["y_frac"],
                w_frac=row["w_frac"],
                h_frac=row["h_frac"],
                confidence=row["confidence"],
                upside_down=other if other != row["number"] else None,
            )
        )
    return dict(found)
