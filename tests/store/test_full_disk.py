"""A full disk is told as one, with what to do about it; nothing that was saved is lost."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from types import SimpleNamespace

import pytest

from asfound.errors import ArchiveTrouble
from asfound.store import connection, database
from asfound.store.database import Store


@pytest.fixture
def store(tmp_path: Path):
    with Store(tmp_path / "asfound.sqlite") as store:
        store.run("INSERT INTO setting(name, value) VALUES ('kept', '1')")
        yield store


def fill(store: Store) -> None:
    """SQLite's own bound on the size of a file stands in for that of the disk: the same error comes of it."""
    store.run(f"PRAGMA max_page_count = {store.value('PRAGMA page_count')}")


def test_full_disk_asks_for_room_and_not_for_a_backup(store: Store):
    fill(store)

    with pytest.raises(ArchiveTrouble, match="the disk is full") as told, store.transaction():
        store.run("INSERT INTO setting(name, value) VALUES ('large', ?)", "x" * 1_000_000)

    assert "backup" not in str(told.value)
    assert store.value("SELECT COUNT(*) FROM setting WHERE name = 'large'") == 0
    assert store.value("SELECT value FROM setting WHERE name = 'kept'") == "1"


def test_full_disk_is_told_of_many_rows_too(store: Store):
    fill(store)

    with pytest.raises(ArchiveTrouble, match="the disk is full"), store.transaction():
        store.run_many("INSERT INTO setting(name, value) VALUES (?, ?)", [("large", "x" * 1_000_000)])


def test_disk_error_at_opening_is_that_of_a_full_disk_when_no_room_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """SQLITE_IOERR_SHMSIZE, as when the 32 KiB index of the write-ahead log cannot be made."""

    def refuse(*_: object) -> None:
        error = sqlite3.OperationalError("disk I/O error")
        error.sqlite_errorcode = sqlite3.SQLITE_IOERR_SHMSIZE
        raise error

    monkeypatch.setattr(database, "connect", refuse)
    for free, said in ((4096, "the disk is full"), (1 << 30, "check it")):
        monkeypatch.setattr(connection.shutil, "disk_usage", lambda _, free=free: SimpleNamespace(free=free))
        with pytest.raises(ArchiveTrouble, match=said) as told:
            Store(tmp_path / "asfound.sqlite")
        assert "restore it from a backup" not in str(told.value)


def test_file_that_is_no_database_asks_for_a_backup(tmp_path: Path):
    (tmp_path / "asfound.sqlite").write_bytes(b"no database at all, whatever its name says" * 100)

    with pytest.raises(ArchiveTrouble, match="restore it from a backup"):
        Store(tmp_path / "asfound.sqlite")
