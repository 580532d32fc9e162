"""The database as it is at one moment, as a file of its own, while it is in use."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from asfound.errors import ArchiveTrouble
from asfound.store.connection import FAILURES
from asfound.store.database import Store
from asfound.store.page_sums import changed_pages, save_sums, write_sums
from asfound.store.texts import rows_without_text
from asfound.system import sync_file

PAGES_AT_ONCE = 2000


def save_snapshot(store: Store, target: Path) -> None:
    """Copy the database with SQLite's own backup, which waits for nobody and lets others write; durable at the end.

    Raises
    ------
    ArchiveTrouble
        If the copy is not sound: then it is removed again.
    """
    if changed_pages(store.path):
        raise _damaged(store, "pages are not as they were left")
    try:
        with closing(sqlite3.connect(target)) as copy:
            store.copy_into(copy, PAGES_AT_ONCE)
            copy.execute("PRAGMA journal_mode = DELETE")
            said = copy.execute("PRAGMA quick_check(1)").fetchone()[0]
            spoilt = next(rows_without_text(copy), None)
    except FAILURES as error:
        target.unlink(missing_ok=True)
        raise ArchiveTrouble(
            f"{store.path}: the database cannot be copied ({error}); asfound check says what is damaged."
        ) from error
    if said != "ok":
        target.unlink(missing_ok=True)
        raise _damaged(store, said)
    if spoilt is not None:
        target.unlink(missing_ok=True)
        raise _damaged(store, f"row {spoilt[1]} of {spoilt[0]} holds bytes that are no text")
    sync_file(target)


def _damaged(store: Store, why: str) -> ArchiveTrouble:
    return ArchiveTrouble(
        f"{store.path}: the database is damaged ({why}), and the backups before this one are left as they are; "
        "repair it first: asfound repair"
    )


def sum_pages(database: Path) -> None:
    """Write the sums of a database file that nobody writes any more."""
    write_sums(database)


def put_into_use(database: Path) -> None:
    """Make a database that was brought back the one that is written to, with sums of its pages as they are then."""
    with closing(sqlite3.connect(database, isolation_level=None)) as connection:
        connection.execute("PRAGMA journal_mode = WAL")
        save_sums(connection, database)
