"""Tags, their ends, and how belts ran."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from collections.abc import Collection
from datetime import datetime
from itertools import count
from typing import Any

from asfound.core.log.tag_fields import OF_END, OF_TAG
from asfound.errors import NotFound
from asfound.model.tags import Belt, EndLetter, Tag, TagEnd
from asfound.store.database import Store

_WITH_BAG = """
    SELECT tag.*,
           COALESCE((SELECT bag FROM event WHERE event.tag_id = tag.tag_id AND kind IN ('off', 'bagged') AND bag != ''
                     AND NOT EXISTS (SELECT 1 FROM event AS later WHERE later.strikes = event.event_id)
                     ORDER BY at DESC, event_id DESC LIMIT 1),
                    (SELECT label FROM bag_tag JOIN bag USING (bag_id) WHERE bag_tag.tag_id = tag.tag_id
                     ORDER BY bag_id LIMIT 1), '') AS bag
    FROM tag
"""
_TAG_COLUMNS = tuple(name for name, row in OF_TAG.items() if row.words != "bag")
_END_COLUMNS = tuple(name for name, row in OF_END.items() if row.words != "colour")
_COLOUR_COLUMNS = ("colour_main", "colour_stripe", "colour_typed", "colour_unsure")
_BELT_COLUMNS = ("comes_off", "path", "arrow", "turns", "slack")


def add_tag(store: Store, job_id: int, number: str, at: datetime, *, kind: str, name: str, ends: int) -> int:
    """Make a tag with its ends and return its id; the same number may be on several things."""
    cursor = store.run(
        "INSERT INTO tag(job_id, number, nth, kind, name, ends, created_at) VALUES (?, ?, ?, ?, ?, ?, ?)",
        *(job_id, number, _free_nth(store, job_id, number), kind, name, ends, at.isoformat()),
    )
    tag_id = int(cursor.lastrowid or 0)
    for end in ("A", "B")[:ends]:
        store.run('INSERT INTO tag_end(tag_id, "end") VALUES (?, ?)', tag_id, end)
    return tag_id


def change_tag(store: Store, tag_id: int, **words: Any) -> None:
    """Set fields of a tag; making it two-ended adds the missing end, making it one-ended keeps what was said of B."""
    if unknown := words.keys() - {*_TAG_COLUMNS, "number", "created_at"}:
        raise ValueError(str(unknown))
    plain = {column: value for column, value in words.items() if column != "number"}
    if plain:
        sets = ", ".join(f"{column} = ?" for column in plain)
        store.run(f"UPDATE tag SET {sets} WHERE tag_id = ?", *plain.values(), tag_id)
    if "number" in words:
        _renumber(store, tag_id, words["number"])
    if words.get("ends") == 2:
        store.run('INSERT OR IGNORE INTO tag_end(tag_id, "end") VALUES (?, ?)', tag_id, "B")


def change_end(store: Store, tag_id: int, end: EndLetter, **words: Any) -> None:
    """Set fields of one end."""
    if unknown := words.keys() - {*_END_COLUMNS, *_COLOUR_COLUMNS}:
        raise ValueError(str(unknown))
    if words:
        sets = ", ".join(f"{column} = ?" for column in words)
        store.run(f'UPDATE tag_end SET {sets} WHERE tag_id = ? AND "end" = ?', *words.values(), tag_id, end)


_OF_TAG = (
    *(
        "pin",
        "rejection",
        "proposal",
        "event",
        "bag_tag",
        "belt",
        "alias",
        "manual_value",
        "purchase",
        "set_member",
        "document_tie",
    ),
    *("tag_end", "tag"),
)
"""Tables whose rows go with their tag, in an order that leaves no row pointing at nothing."""


def remove_tag(store: Store, tag_id: int) -> None:
    """Remove a tag with its ends, pins, events, rules and whatever else is of it alone; its snags stay, of no tag."""
    store.run("UPDATE snag SET tag_id = NULL WHERE tag_id = ?", tag_id)
    store.run("DELETE FROM fit_rule WHERE later_id = ? OR earlier_id = ?", tag_id, tag_id)
    store.run("DELETE FROM event WHERE strikes IN (SELECT event_id FROM event WHERE tag_id = ?)", tag_id)
    for table in _OF_TAG:
        store.run(f"DELETE FROM {table} WHERE tag_id = ?", tag_id)


def get_tag(store: Store, tag_id: int) -> Tag:
    """One tag by its hidden identity; `NotFound` if there is none."""
    row = store.row(f"{_WITH_BAG} WHERE tag_id = ?", tag_id)
    if row is None:
        raise NotFound(f"There is no tag with the identity {tag_id}.")
    return _tag(row)


def list_tags(store: Store, job_id: int) -> list[Tag]:
    """All tags of a job in the order in which they were entered."""
    return [_tag(row) for row in store.rows(f"{_WITH_BAG} WHERE job_id = ? ORDER BY tag_id", job_id)]


def find_tags(store: Store, job_id: int, tag_ids: Collection[int]) -> list[Tag]:
    """Tags of a job by their hidden identities, in that order; those that it has not are left out."""
    found = []
    for tag_id in sorted(tag_ids):
        row = store.row(f"{_WITH_BAG} WHERE tag_id = ? AND job_id = ?", tag_id, job_id)
        if row is not None:
            found.append(_tag(row))
    return found


def find_tags_by_number(store: Store, job_id: int, number: str) -> list[Tag]:
    """Tags with exactly this number, or that also go by it, oldest first."""
    rows = store.rows(
        f"{_WITH_BAG} WHERE tag_id IN (SELECT tag_id FROM tag WHERE job_id = ? AND number = ? UNION "
        "SELECT alias.tag_id FROM alias JOIN tag USING (tag_id) WHERE job_id = ? AND alias.number = ?) ORDER BY tag_id",
        *(job_id, number, job_id, number),
    )
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


def find_ends(store: Store, tag_id: int) -> tuple[TagEnd, ...]:
    """Ends of one tag, A before B."""
    rows = store.rows(
        'SELECT tag_end.* FROM tag_end JOIN tag USING (tag_id) WHERE tag_id = ? AND ("end" = ? OR ends = 2) '
        'ORDER BY "end"',
        *(tag_id, "A"),
    )
    return tuple(map(_end, rows))


def save_belt(store: Store, tag_id: int, **words: str) -> None:
    """Set fields of how a belt ran: comes_off, path, arrow, turns, slack."""
    store.run("INSERT OR IGNORE INTO belt(tag_id) VALUES (?)", tag_id)
    for column, value in words.items():
        if column not in _BELT_COLUMNS:
            raise ValueError(column)
        store.run(f"UPDATE belt SET {column} = ? WHERE tag_id = ?", value, tag_id)


def list_belts(store: Store, job_id: int) -> dict[int, Belt]:
    """Tag to how its belt ran."""
    rows = store.rows("SELECT belt.* FROM belt JOIN tag USING (tag_id) WHERE job_id = ?", job_id)
    return {row["tag_id"]: Belt(**dict(row)) for row in rows}


def known_numbers(store: Store, job_id: int) -> frozenset[str]:
    """The numbers in use in a job, also those that a thing goes by besides its own."""
    rows = store.rows(
        "SELECT number FROM tag WHERE job_id = ? "
        "UNION SELECT alias.number FROM alias JOIN tag USING (tag_id) WHERE job_id = ?",
        *(job_id, job_id),
    )
    return frozenset(row[0] for row in rows)


def numbers_among(store: Store, job_id: int, candidates: Collection[str]) -> frozenset[str]:
    """Those numbers in use, in any case of letters, that are among some texts; quick however many tags there are."""
    asked = list(candidates)
    marks = ", ".join("?" * len(asked))
    rows = store.rows(
        f"SELECT number FROM tag WHERE job_id = ? AND number COLLATE NOCASE IN ({marks}) "
        "UNION SELECT alias.number FROM alias JOIN tag USING (tag_id) "
        f"WHERE job_id = ? AND alias.number COLLATE NOCASE IN ({marks})",
        *(job_id, *asked, job_id, *asked),
    )
    found = frozenset(row[0] for row in rows)
    if all(text.isascii() for text in asked):
        return found
    # The database knows the case of ASCII letters only.
    folded = {text.casefold() for text in asked}
    return found | {number for number in known_numbers(store, job_id) if number.casefold() in folded}


def add_alias(store: Store, tag_id: int, number: str) -> None:
    """Let a thing go by another number too."""
    store.run("INSERT OR IGNORE INTO alias(tag_id, number) VALUES (?, ?)", tag_id, number)


def list_aliases(store: Store, job_id: int) -> list[tuple[int, str]]:
    """Other numbers of things as (tag, number), in the order in which they were said."""
    rows = store.rows(
        "SELECT tag_id, alias.number FROM alias JOIN tag USING (tag_id) WHERE job_id = ? ORDER BY alias.rowid", job_id
    )
    return [(row[0], row[1]) for row in rows]


def _renumber(store: Store, tag_id: int, number: str) -> None:
    row = store.row("SELECT job_id, number FROM tag WHERE tag_id = ?", tag_id)
    if row is not None and row["number"] != number:
        nth = _free_nth(store, row["job_id"], number)
        store.run("UPDATE tag SET number = ?, nth = ? WHERE tag_id = ?", number, nth, tag_id)


def _free_nth(store: Store, job_id: int, number: str) -> int:
    """One more than the last of this number, so that no name of a repeated number is ever handed on while it is in
    use; a number that a tape carries itself, such as 12.2, is passed over."""
    last = store.value("SELECT MAX(nth) FROM tag WHERE job_id = ? AND number = ?", job_id, number)
    if last is None:
        return 1
    known = known_numbers(store, job_id)
    return next(nth for nth in count(int(last) + 1) if f"{number}.{nth}" not in known)


def _tag(row: sqlite3.Row) -> Tag:
    return Tag(
        row["tag_id"],
        row["job_id"],
        number=row["number"],
        order=row["nth"],
        created_at=datetime.fromisoformat(row["created_at"]),
        bag=row["bag"],
        **{name: row[name] for name in _TAG_COLUMNS},
    )


def _end(row: sqlite3.Row) -> TagEnd:
    main, stripe = row["colour_main"], row["colour_stripe"]
    said = {name: row[name] for name in _END_COLUMNS}
    said["capped"] = None if said["capped"] is None else bool(said["capped"])
    said["tape_lost"] = bool(said["tape_lost"])
    return TagEnd(
        row["tag_id"],
        row["end"],
        main=main,
        stripe=stripe,
        colour="/".join(filter(None, (main, stripe))) or row["colour_typed"],
        colour_unsure=bool(row["colour_unsure"]),
        **said,
    )
