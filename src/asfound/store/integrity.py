"""Whether the database is still as this program left it, and which rows a damaged page holds. Reports only."""

from __future__ import annotations

import mmap
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from asfound.store.connection import FAILURES
from asfound.store.page_sums import changed_pages, page_size_of
from asfound.store.pages import FIRST_ROW, LAST_ROW, PageOwner, map_pages
from asfound.store.texts import rows_without_text

MOST_FAULTS = 100
_RESERVED_AT = 20


@dataclass(frozen=True, slots=True)
class DatabaseFault:
    """Something about the database that is not as it should be.

    Attributes
    ----------
    why : str
        One line for the person, in plain words.
    table : str
        What the page belongs to; empty where that cannot be told.
    tags : tuple of str
        Numbers of the tags whose rows may be touched, as typed ("17", "12.2").
    """

    why: str
    table: str = ""
    tags: tuple[str, ...] = ()


def check_database(path: Path) -> list[DatabaseFault]:
    """What is wrong with a database; nothing is written, and a format of another version is checked too.

    Every page is compared with its sum where the sums are there; SQLite's own check, and the references from row to
    row, and whether texts are text, are asked for in any case. Costs the reading of the file.
    """
    if not path.stat().st_size:
        return [DatabaseFault("it is empty")]
    changed = changed_pages(path)
    try:
        with closing(_open(path)) as connection:
            faults = list(_faults_of_pages(connection, path, changed or []))
            return faults or list(_faults_of_form(connection))
    except (*FAILURES, OSError) as error:
        return [DatabaseFault(f"it cannot be read: {error}")]


def find_changed_rows(path: Path) -> dict[str, list[tuple[int, int]]]:
    """Table to ranges of rowids, both ends included, on pages that are not as they were left, or without their text."""
    ranges: dict[str, list[tuple[int, int]]] = {}
    if not path.stat().st_size:
        return ranges
    with suppress(*FAILURES, OSError), closing(_open(path)) as connection:
        for owner in _owners(connection, path, changed_pages(path) or []).values():
            if owner is not None:
                ranges.setdefault(_table_of(connection, owner.name), []).append((owner.first_row, owner.last_row))
        for table, row in rows_without_text(connection):
            ranges.setdefault(table, []).append((row, row))
    return ranges


def _open(path: Path) -> sqlite3.Connection:
    """The database for reading, whatever its format; a log beside it is read too."""
    log = path.with_name(f"{path.name}-wal")
    settled = "" if log.exists() and log.stat().st_size else "&immutable=1"
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro{settled}", uri=True, isolation_level=None)


def _faults_of_pages(connection: sqlite3.Connection, path: Path, changed: list[int]) -> Iterator[DatabaseFault]:
    for number, owner in _owners(connection, path, changed[:MOST_FAULTS]).items():
        page = f"page {number} is not as it was left"
        if owner is None:
            yield DatabaseFault(f"{page}; no row lies in it")
            continue
        table = _table_of(connection, owner.name)
        if table != owner.name:
            yield DatabaseFault(f"{page}; it is an index of {table}, so no row is lost", table)
        else:
            yield DatabaseFault(f"{page}; it holds {_rows_in_words(owner)}", table, _tags_in(connection, owner))
    if len(changed) > MOST_FAULTS:
        yield DatabaseFault(f"and {len(changed) - MOST_FAULTS} more pages")


def _faults_of_form(connection: sqlite3.Connection) -> Iterator[DatabaseFault]:
    """What SQLite itself finds, rows that refer to rows which are not there, and bytes that are no text."""
    try:
        for (said,) in connection.execute(f"PRAGMA integrity_check({MOST_FAULTS})"):
            if said != "ok":
                yield DatabaseFault(" ".join(str(said).split()))
        for table, row, parent, _key in connection.execute("PRAGMA foreign_key_check"):
            yield DatabaseFault(f"row {row} of {table} refers to a row of {parent} that is not there", str(table))
        for table, row in islice(list(rows_without_text(connection)), MOST_FAULTS):
            owner = PageOwner(table, row, row)
            yield DatabaseFault(
                f"row {row} of {table} holds bytes that are no text", table, _tags_in(connection, owner)
            )
    except FAILURES as error:
        yield DatabaseFault(f"it cannot be read to its end: {error}")


def _owners(connection: sqlite3.Connection, path: Path, numbers: list[int]) -> dict[int, PageOwner | None]:
    """Page to what it belongs to; None where that cannot be told."""
    if not numbers:
        return {}
    roots: dict[int, str] = {1: "sqlite_master"}
    with suppress(*FAILURES):
        roots |= dict(connection.execute("SELECT rootpage, name FROM sqlite_master WHERE rootpage > 0"))
    with _mapped(path) as data:
        owners = map_pages(data, page_size_of(path), data[_RESERVED_AT : _RESERVED_AT + 1][0], roots)
    return {number: owners.get(number) for number in numbers}


@contextmanager
def _mapped(path: Path) -> Iterator[mmap.mmap]:
    with open(path, "rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data:
        yield data


def _table_of(connection: sqlite3.Connection, name: str) -> str:
    """The table that an index is of; a table's own name."""
    with suppress(*FAILURES):
        row = connection.execute("SELECT tbl_name FROM sqlite_master WHERE name = ?", (name,)).fetchone()
        return name if row is None else str(row[0])
    return name


def _rows_in_words(owner: PageOwner) -> str:
    if owner.first_row == owner.last_row:
        return f"row {owner.first_row} of {owner.name}"
    if owner.first_row == FIRST_ROW and owner.last_row == LAST_ROW:
        return f"rows of {owner.name}"
    if owner.first_row == FIRST_ROW:
        return f"rows of {owner.name} up to {owner.last_row}"
    if owner.last_row == LAST_ROW:
        return f"rows of {owner.name} from {owner.first_row} on"
    return f"rows {owner.first_row} to {owner.last_row} of {owner.name}"


def _tags_in(connection: sqlite3.Connection, owner: PageOwner) -> tuple[str, ...]:
    """Numbers of the tags that rows of a page are about, as far as they can still be told."""
    with suppress(*FAILURES):
        columns = [row[1] for row in connection.execute(f'PRAGMA table_info("{owner.name}")')]
        if "tag_id" not in columns:
            return ()
        ids = connection.execute(
            f'SELECT DISTINCT tag_id FROM "{owner.name}" WHERE rowid BETWEEN ? AND ?',
            (owner.first_row, owner.last_row),
        ).fetchall()
        marks = ", ".join("?" * len(ids))
        # Asked of the index of numbers: it holds them a second time, on another page.
        rows = connection.execute(
            f"SELECT number, nth FROM tag WHERE tag_id IN ({marks}) ORDER BY number, nth", [row[0] for row in ids]
        )
        return tuple(str(number) if nth == 1 else f"{number}.{nth}" for number, nth in rows)
    return ()


def is_free(path: Path) -> bool:
    """Whether no other program has the database open, as far as a damaged one can tell."""
    try:
        with closing(sqlite3.connect(path, timeout=0.2, isolation_level=None)) as connection:
            connection.execute("PRAGMA locking_mode = EXCLUSIVE")
            connection.execute("BEGIN EXCLUSIVE")
            connection.rollback()
    except sqlite3.OperationalError as error:
        return getattr(error, "sqlite_errorcode", 0) & 0xFF not in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)
    except FAILURES:
        pass
    return True
