"""Connections to the one SQLite file, and what its errors mean to whoever has to do something about them."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

from asfound.errors import ArchiveTrouble
from asfound.store.page_sums import forget_sums
from asfound.system import replace

BUSY_TIMEOUT_MS = 10_000
LEAST_ROOM_BYTES = 1 << 20
"""With less free, a disk error is that of a full disk."""
_OF_THE_FILE = {
    sqlite3.SQLITE_CORRUPT,
    sqlite3.SQLITE_NOTADB,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_BUSY,
}
_NO_TEXT = "Could not decode to UTF-8"

Failure = sqlite3.Error | UnicodeDecodeError
"""What a query can raise: where SQLite's own message quotes a damaged byte, Python cannot read the message."""
FAILURES = (sqlite3.Error, UnicodeDecodeError)


def is_no_text(error: Failure) -> bool:
    """Whether a query failed over bytes that are no text: SQLite has no error code for that."""
    return isinstance(error, UnicodeDecodeError) or str(error).startswith(_NO_TEXT)


def reading_trouble(path: Path, error: Failure) -> Exception:
    """What to raise of a query that failed: trouble with the file, or the error itself where the fault is ours."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    is_torn_search = "vtable constructor failed" in str(error)
    return trouble(path, error) if code in _OF_THE_FILE or is_torn_search or is_no_text(error) else error


def trouble(path: Path, error: Failure) -> ArchiveTrouble:
    """What to do about it: a full disk needs room, only a damaged file a backup."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF  # its low byte is the kind of error, the rest tells more
    # With no room for the index of its log, SQLite speaks of a disk I/O error.
    is_full = code == sqlite3.SQLITE_FULL or (
        code == sqlite3.SQLITE_IOERR and shutil.disk_usage(path.parent).free < LEAST_ROOM_BYTES
    )
    if is_full:
        return ArchiveTrouble(
            f"{path.parent}: the disk is full, and nothing more can be saved; make room and do it again. "
            "What was saved before is kept."
        )
    if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_ERROR) or is_no_text(error):
        why = "the record is damaged: bytes in it are not UTF-8 text" if is_no_text(error) else error
        return ArchiveTrouble(
            f"{path}: the database cannot be used ({why}); asfound check says what is damaged. Bring over what can "
            "be read with: asfound repair, or restore it from a backup."
        )
    if code == sqlite3.SQLITE_IOERR:
        return ArchiveTrouble(f"{path}: the disk cannot be used ({error}); check it, and copy what can be read of it.")
    return ArchiveTrouble(f"{path}: {error}; nothing was saved. Free it or make it writable.")


def keep_copy(connection: sqlite3.Connection, path: Path) -> None:
    """A copy of a database of an earlier format, beside it, before it is brought up; a new one needs none."""
    present = connection.execute("PRAGMA user_version").fetchone()[0]
    kept = path.with_name(f"{path.stem}-format-{present}{path.suffix}")
    if not present or kept.exists():
        return
    draft = path.with_name(f"{kept.name}-part")
    draft.unlink(missing_ok=True)
    with closing(sqlite3.connect(draft)) as copy:
        connection.backup(copy)
    replace(draft, kept)


def copy_in_memory(connection: sqlite3.Connection) -> sqlite3.Connection:
    """A copy that can be brought to the present format, where the file itself cannot: a backup on a read-only disk."""
    copy = sqlite3.connect(":memory:", isolation_level=None)
    connection.backup(copy)
    connection.close()
    return _prepared(copy)


def connect(path: Path, read_only: bool) -> sqlite3.Connection:
    if read_only:
        # A write-ahead log cannot be made beside a database on read-only media, so say that nothing changes it; where
        # one lies there with lines in it, it is read too.
        log = path.with_name(f"{path.name}-wal")
        settled = "" if log.exists() and log.stat().st_size else "&immutable=1"
        connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro{settled}", uri=True, isolation_level=None)
    else:
        connection = sqlite3.connect(path, timeout=BUSY_TIMEOUT_MS / 1000, isolation_level=None)
        if connection.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
            forget_sums(path)
            connection.execute("PRAGMA journal_mode = WAL")
        connection.execute("PRAGMA synchronous = FULL")
    return _prepared(connection)


def _prepared(connection: sqlite3.Connection) -> sqlite3.Connection:
    connection.row_factory = sqlite3.Row
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("PRAGMA recursive_triggers = ON")
    return connection
