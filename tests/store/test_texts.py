"""Rows that hold bytes which are no text, beside those that only look so."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from asfound.store.texts import rows_without_text


@pytest.fixture
def connection():
    with closing(sqlite3.connect(":memory:")) as made:
        made.execute("CREATE TABLE tag(tag_id INTEGER PRIMARY KEY, name TEXT, note TEXT, picture BLOB) STRICT")
        made.execute("CREATE TABLE bag(name TEXT PRIMARY KEY) WITHOUT ROWID")
        made.execute("CREATE VIRTUAL TABLE search_tags USING fts5(words)")
        made.executemany(
            "INSERT INTO tag VALUES (?, ?, ?, ?)",
            [(1, "hose", None, b"\xff"), (2, "Schläuche", "弁", None), (7, "", "", b"")],
        )
        yield made


def test_text_of_any_script_is_text_and_bytes_need_not_be(connection: sqlite3.Connection):
    assert list(rows_without_text(connection)) == []


@pytest.mark.parametrize("data", ["FF", "C3", "686FC328", "EDA080", "F8888080"])  # RFC 3629, sections 3 and 4
def test_rows_with_other_bytes_are_named(connection: sqlite3.Connection, data: str):
    connection.execute(f"UPDATE tag SET note = CAST(x'{data}' AS TEXT) WHERE tag_id IN (2, 7)")

    assert list(rows_without_text(connection)) == [("tag", 2), ("tag", 7)]
    assert connection.execute("SELECT name FROM tag WHERE tag_id = 2").fetchone() == ("Schläuche",)
