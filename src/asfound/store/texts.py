"""Texts in the database that are no text any more: SQLite keeps their bytes and its own check does not read them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from asfound.store.connection import FAILURES, is_no_text


def rows_without_text(connection: sqlite3.Connection) -> Iterator[tuple[str, int]]:
    """Table and rowid of rows that hold bytes which are not UTF-8; tables that cannot be read are passed over."""
    tables = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND sql NOT LIKE 'CREATE VIRTUAL%'"
    ).fetchall()
    for (table,) in tables:
        columns = [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")') if row[2] in ("TEXT", "")]
        if columns and not _is_text(connection, table, columns):
            yield from ((table, row) for row in _spoilt(connection, table, columns))


def _is_text(connection: sqlite3.Connection, table: str, columns: list[str]) -> bool:
    try:
        for _row in connection.execute(f'SELECT {_quoted(columns)} FROM "{table}"'):
            pass
    except FAILURES as error:
        return not is_no_text(error)
    return True


def _spoilt(connection: sqlite3.Connection, table: str, columns: list[str]) -> Iterator[int]:
    """Rowids, found by reading the texts as bytes; a column of bytes holds no text."""
    texts = ", ".join(f'CASE typeof("{name}") WHEN \'text\' THEN "{name}" END' for name in columns)
    with _as_bytes(connection), suppress(*FAILURES):
        for row, *values in connection.execute(f'SELECT rowid, {texts} FROM "{table}"'):
            if not all(value is None or _is_utf8(value) for value in values):
                yield int(row)


@contextmanager
def _as_bytes(connection: sqlite3.Connection) -> Iterator[None]:
    before = connection.text_factory
    connection.text_factory = bytes
    try:
        yield
    finally:
        connection.text_factory = before


def _is_utf8(data: bytes) -> bool:
    with suppress(UnicodeDecodeError):
        data.decode()
        return True
    return False


def _quoted(names: list[str]) -> str:
    return ", ".join(f'"{name}"' for name in names)
