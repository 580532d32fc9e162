"""A checksum of every page of the database at rest, in a file beside it, so that one flipped byte is found later.

SQLite itself notices damage to the form of its pages and none to the words inside. The sums are written when a
connection that wrote is closed and everything lies in the database file; whoever writes next removes them first, while
holding the right to write. So while the file is there, every page must be as it was summed.

The file: `MAGIC`, page size and number of pages, a CRC-32 for each page, and the CRC-32 of all before; numbers are
little-endian and have 4 bytes.
"""

from __future__ import annotations

import os
import sqlite3
import struct
import sys
import zlib
from array import array
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from asfound.system import replace

MAGIC = b"asfound page sums 1\n"
_HEAD = struct.Struct("<II")
_PAGE_SIZE_AT = 16
READ_PAGES = 1024


def sums_path(database: Path) -> Path:
    """Where the sums of a database lie."""
    return database.with_name(f"{database.stem}.pages")


def forget_sums(database: Path) -> None:
    """Remove the sums: the database is about to be written."""
    with suppress(OSError):
        os.unlink(sums_path(database))


def save_sums(connection: sqlite3.Connection, database: Path) -> bool:
    """Bring everything into the database file and write its sums; whether that could be done.

    Where another connection reads or writes just now nothing is done: its own end will do it.
    """
    try:
        connection.execute("PRAGMA busy_timeout = 0")
        if connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]:
            return False
        connection.execute("BEGIN IMMEDIATE")
    except sqlite3.Error:
        return False
    try:
        if log_bytes(database):
            return False
        write_sums(database)
    except OSError:
        return False
    finally:
        connection.rollback()
    return True


def write_sums(database: Path) -> None:
    """Sum the pages of a database file that nothing changes meanwhile."""
    size = page_size_of(database)
    sums = array("I", (zlib.crc32(page) for page in read_pages(database, size)))
    if sys.byteorder == "big":
        sums.byteswap()
    data = MAGIC + _HEAD.pack(size, len(sums)) + sums.tobytes()
    target = sums_path(database)
    draft = target.with_name(f"{target.name}-part")
    # Neither flushed nor waited for: sums that a power cut tears are no sums, and the next end writes them again.
    draft.write_bytes(data + zlib.crc32(data).to_bytes(4, "little"))
    replace(draft, target)


def changed_pages(database: Path) -> list[int] | None:
    """Numbers of pages, from 1, that are not as they were summed; None where there are no sums to compare with."""
    try:
        stored = sums_path(database).read_bytes()
    except OSError:
        return None
    data = stored[:-4]
    if log_bytes(database) or data[: len(MAGIC)] != MAGIC or zlib.crc32(data) != int.from_bytes(stored[-4:], "little"):
        return None
    size, count = _HEAD.unpack_from(data, len(MAGIC))
    sums = array("I", data[len(MAGIC) + _HEAD.size :])
    if sys.byteorder == "big":
        sums.byteswap()
    now = [zlib.crc32(page) for page in read_pages(database, size)]
    if not sums_path(database).exists():
        return None  # Someone wrote while this was read.
    longest = max(count, len(now))
    return [number + 1 for number in range(longest) if number >= min(count, len(now)) or sums[number] != now[number]]


def page_size_of(database: Path) -> int:
    """Bytes of a page as the file's header says (SQLite file format, section 1.3.2)."""
    with open(database, "rb") as file:
        said = int.from_bytes(file.read(_PAGE_SIZE_AT + 2)[_PAGE_SIZE_AT:], "big")
    return 65536 if said == 1 else said or 4096


def read_pages(database: Path, size: int) -> Iterator[memoryview]:
    """The pages of a database file, in order."""
    with open(database, "rb") as file:
        while piece := file.read(size * READ_PAGES):
            view = memoryview(piece)
            yield from (view[at : at + size] for at in range(0, len(piece), size))


def log_bytes(database: Path) -> int:
    """Size of the write-ahead log beside a database: what it holds is not in the file yet."""
    try:
        return database.with_name(f"{database.name}-wal").stat().st_size
    except OSError:
        return 0
