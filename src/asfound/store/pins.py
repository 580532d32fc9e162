"""Pins are a person's word; proposals are the machine's. They never share a table."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from datetime import datetime

from asfound.errors import NotFound
from asfound.model.tags import EndLetter, Pin, PinProposal, Source
from asfound.store.database import Store
from asfound.store.pictures import NO_DOCUMENT

_SAME = 'WHERE word.tag_id = proposal.tag_id AND word."end" = proposal."end" AND word.picture_id = proposal.picture_id'
_OPEN = f"NOT EXISTS (SELECT 1 FROM pin word {_SAME}) AND NOT EXISTS (SELECT 1 FROM rejection word {_SAME})"
"""A proposal is open while no pin and no refusal stands at its place. It is kept when it is answered, so that taking
the answer back asks again."""


def save_pin(
    store: Store,
    tag_id: int,
    end: EndLetter,
    picture_id: int,
    at: datetime,
    *,
    x_frac: float,
    y_frac: float,
    w_frac: float | None,
    h_frac: float | None,
    source: Source = "hand",
) -> int:
    """Write down a pin and return its id; an earlier pin of that end on that picture moves and keeps its id."""
    store.run('DELETE FROM rejection WHERE tag_id = ? AND "end" = ? AND picture_id = ?', tag_id, end, picture_id)
    place = (x_frac, y_frac, w_frac, h_frac, source)
    present = store.value(
        'SELECT pin_id FROM pin WHERE tag_id = ? AND "end" = ? AND picture_id = ?', tag_id, end, picture_id
    )
    if present is not None:
        store.run(
            "UPDATE pin SET x_frac = ?, y_frac = ?, w_frac = ?, h_frac = ?, source = ? WHERE pin_id = ?",
            *(*place, present),
        )
        return int(present)
    cursor = store.run(
        'INSERT INTO pin(tag_id, "end", picture_id, x_frac, y_frac, w_frac, h_frac, source, entered_at) '
        "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        *(tag_id, end, picture_id, *place, at.isoformat()),
    )
    return int(cursor.lastrowid or 0)


def remove_pin(store: Store, pin_id: int) -> None:
    """Remove a pin."""
    store.run("DELETE FROM pin WHERE pin_id = ?", pin_id)


def get_pin(store: Store, pin_id: int) -> Pin:
    """One pin by its id; `NotFound` if there is none."""
    row = store.row("SELECT * FROM pin WHERE pin_id = ?", pin_id)
    if row is None:
        raise NotFound(f"There is no pin {pin_id}.")
    return _pin(row)


def find_pins(store: Store, tag_id: int, end: EndLetter | None = None) -> list[Pin]:
    """Pins of a tag, or of one of its ends, oldest first; those on documents are left out, as in every list of pins."""
    rows = store.rows(
        f'SELECT * FROM pin WHERE tag_id = ? AND (? IS NULL OR "end" = ?) AND {NO_DOCUMENT} ORDER BY pin_id',
        *(tag_id, end, end),
    )
    return [_pin(row) for row in rows]


def pins_on_picture(store: Store, picture_id: int) -> list[Pin]:
    """Pins on one picture, oldest first."""
    return [_pin(row) for row in store.rows("SELECT * FROM pin WHERE picture_id = ? ORDER BY pin_id", picture_id)]


def list_pins(store: Store, job_id: int) -> list[Pin]:
    """All pins of a job, oldest first."""
    rows = store.rows(
        f"SELECT pin.* FROM pin JOIN tag USING (tag_id) WHERE job_id = ? AND {NO_DOCUMENT} ORDER BY pin_id", job_id
    )
    return [_pin(row) for row in rows]


def pictures_with_pins(store: Store, job_id: int) -> set[int]:
    """Pictures that carry a pin, or the open proposal of one."""
    rows = store.rows(
        f"SELECT picture_id FROM pin JOIN tag USING (tag_id) WHERE job_id = ? AND {NO_DOCUMENT} "
        f"UNION SELECT picture_id FROM proposal JOIN tag USING (tag_id) WHERE job_id = ? AND {_OPEN} AND {NO_DOCUMENT}",
        *(job_id, job_id),
    )
    return {row[0] for row in rows}


def find_proposals(store: Store, tag_id: int, end: EndLetter | None = None) -> list[PinProposal]:
    """Open proposals for a tag, or for one of its ends, most confident first."""
    rows = store.rows(
        f'SELECT * FROM proposal WHERE tag_id = ? AND (? IS NULL OR "end" = ?) AND {_OPEN} AND {NO_DOCUMENT} '
        "ORDER BY confidence DESC, picture_id",
        tag_id,
        end,
        end,
    )
    return [_proposal(row) for row in rows]


def proposals_on_picture(store: Store, picture_id: int) -> list[PinProposal]:
    """Open proposals on one picture, most confident first."""
    rows = store.rows(
        f"SELECT * FROM proposal WHERE picture_id = ? AND {_OPEN} ORDER BY confidence DESC, tag_id", picture_id
    )
    return [_proposal(row) for row in rows]


def list_proposals(store: Store, job_id: int) -> list[PinProposal]:
    """All open proposals of a job, most confident first."""
    rows = store.rows(
        f"SELECT proposal.* FROM proposal JOIN tag USING (tag_id) WHERE job_id = ? AND {_OPEN} AND {NO_DOCUMENT} "
        "ORDER BY confidence DESC, tag_id",
        job_id,
    )
    return [_proposal(row) for row in rows]


def replace_proposals(store: Store, tag_id: int, end: EndLetter, source: str, proposals: Iterable[PinProposal]) -> None:
    """Replace the open proposals of one source for a tag end; rejected and pinned pictures are left out."""
    store.run('DELETE FROM proposal WHERE tag_id = ? AND "end" = ? AND source = ?', tag_id, end, source)
    taken = {
        row[0]
        for row in store.rows(
            'SELECT picture_id FROM pin WHERE tag_id = ? AND "end" = ? UNION '
            'SELECT picture_id FROM rejection WHERE tag_id = ? AND "end" = ?',
            *(tag_id, end, tag_id, end),
        )
    }
    store.run_many(
        'INSERT OR REPLACE INTO proposal(tag_id, "end", picture_id, source, x_frac, y_frac, w_frac, h_frac, '
        "confidence, how, gone, hidden) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        [
            (
                p.tag_id,
                p.end,
                p.picture_id,
                p.source,
                p.x_frac,
                p.y_frac,
                p.w_frac,
                p.h_frac,
                p.confidence,
                p.how,
                p.gone,
                p.hidden,
            )
            for p in proposals
            if p.picture_id not in taken
        ],
    )


def replace_scales(store: Store, tag_id: int, end: EndLetter, scales: Mapping[int, float]) -> None:
    """Replace how large the pictures show a tag end: picture to its scale, in a unit that these pictures share."""
    store.run('DELETE FROM end_scale WHERE tag_id = ? AND "end" = ?', tag_id, end)
    store.run_many(
        'INSERT INTO end_scale(tag_id, "end", picture_id, scale) VALUES (?, ?, ?, ?)',
        [(tag_id, end, picture_id, scale) for picture_id, scale in scales.items()],
    )


def find_scales(store: Store, tag_id: int, end: EndLetter) -> dict[int, float]:
    """Picture to how large it shows a tag end, in a unit that these pictures share; others are not comparable."""
    rows = store.rows('SELECT picture_id, scale FROM end_scale WHERE tag_id = ? AND "end" = ?', tag_id, end)
    return {row[0]: row[1] for row in rows}


def reject(store: Store, tag_id: int, end: EndLetter, picture_id: int) -> None:
    """Write down a person's word that the tag end is not where it was proposed; it will not be proposed there again."""
    store.run('INSERT OR IGNORE INTO rejection(tag_id, "end", picture_id) VALUES (?, ?, ?)', tag_id, end, picture_id)


def list_rejections(store: Store, job_id: int) -> list[tuple[int, EndLetter, int]]:
    """(tag, end, picture) of every proposal of a job that a person refused."""
    sql = 'SELECT tag_id, "end", picture_id FROM rejection JOIN tag USING (tag_id) WHERE job_id = ?'
    rows = store.rows(sql, job_id)
    return [(row[0], row[1], row[2]) for row in rows]


def drop_unfounded(store: Store) -> None:
    """Forget carried proposals of tag ends that have no pin left to be carried from."""
    store.run(
        "DELETE FROM proposal WHERE source = 'carried' AND NOT EXISTS (SELECT 1 FROM pin "
        'WHERE pin.tag_id = proposal.tag_id AND pin."end" = proposal."end")'
    )


def stale_ends(store: Store) -> list[tuple[int, EndLetter]]:
    """Tag ends whose pins changed since they were last carried."""
    return [(row[0], row[1]) for row in store.rows('SELECT tag_id, "end" FROM stale_carry ORDER BY 1, 2')]


def mark_stale(store: Store, job_id: int, picture_ids: Iterable[int] | None = None) -> None:
    """Say that pins must be carried anew: all of a job, or those with a pin on one of the pictures."""
    sql = (
        'INSERT OR IGNORE INTO stale_carry(tag_id, "end") '
        'SELECT tag_id, "end" FROM pin JOIN tag USING (tag_id) WHERE job_id = ?'
    )
    if picture_ids is None:
        store.run(sql, job_id)
        return
    for picture_id in picture_ids:
        store.run(f"{sql} AND picture_id = ?", job_id, picture_id)


def mark_carried(store: Store, tag_id: int, end: EndLetter) -> None:
    """Say that a tag end's pins have been carried."""
    store.run('DELETE FROM stale_carry WHERE tag_id = ? AND "end" = ?', tag_id, end)


def _pin(row: sqlite3.Row) -> Pin:
    return Pin(
        pin_id=row["pin_id"],
        tag_id=row["tag_id"],
        end=row["end"],
        picture_id=row["picture_id"],
        x_frac=row["x_frac"],
        y_frac=row["y_frac"],
        w_frac=row["w_frac"],
        h_frac=row["h_frac"],
        source=row["source"],
    )


def _proposal(row: sqlite3.Row) -> PinProposal:
    return PinProposal(
        tag_id=row["tag_id"],
        end=row["end"],
        picture_id=row["picture_id"],
        x_frac=row["x_frac"],
        y_frac=row["y_frac"],
        w_frac=row["w_frac"],
        h_frac=row["h_frac"],
        source=row["source"],
        confidence=row["confidence"],
        how=row["how"],
        gone=None if row["gone"] is None else bool(row["gone"]),
        hidden=None if row["hidden"] is None else bool(row["hidden"]),
    )
