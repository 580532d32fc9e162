"""Pages of the database at rest: whose each one is, and whether it is still as it was left."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from itertools import pairwise
from pathlib import Path

import pytest

from asfound.errors import ArchiveTrouble
from asfound.store import tags
from asfound.store.database import Store
from asfound.store.integrity import check_database, find_changed_rows, is_free
from asfound.store.page_sums import MAGIC, changed_pages, page_size_of, read_pages, sums_path, write_sums
from asfound.store.pages import FIRST_ROW, LAST_ROW, map_pages
from asfound.store.snapshot import save_snapshot
from tests.store.filled import NOW, filled_store


def can_tell_pages() -> bool:
    with closing(sqlite3.connect(":memory:")) as plain:
        return ("ENABLE_DBSTAT_VTAB",) in plain.execute("PRAGMA compile_options").fetchall()


@pytest.fixture(params=[512, 1024, 4096, 65536])
def database(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """Tables of many small and a few large rows, with indexes, with and without rowids."""
    path = tmp_path / "x.sqlite"
    with closing(sqlite3.connect(path)) as plain:
        plain.execute(f"PRAGMA page_size = {request.param}")
        plain.execute("CREATE TABLE small(id INTEGER PRIMARY KEY, words TEXT)")
        plain.execute("CREATE INDEX small_words ON small(words)")
        plain.execute("CREATE TABLE large(id INTEGER PRIMARY KEY, data BLOB)")
        plain.execute("CREATE TABLE keyed(word TEXT PRIMARY KEY, data BLOB) WITHOUT ROWID")
        plain.executemany("INSERT INTO small VALUES (?, ?)", [(n * 7 - 900, f"word {n}" * (n % 9)) for n in range(900)])
        plain.executemany("INSERT INTO large VALUES (?, ?)", [(n - 3, bytes(n * 4000)) for n in range(9)])
        plain.executemany("INSERT INTO keyed VALUES (?, ?)", [(f"{n:03}" * 50, bytes(n * 30)) for n in range(99)])
        plain.commit()
    return path


@pytest.mark.skipif(not can_tell_pages(), reason="this SQLite was built without its dbstat table")
def test_every_page_belongs_to_what_sqlite_itself_says(database: Path):
    """Against the dbstat virtual table (sqlite.org/dbstat.html), which names every page of every tree."""
    with closing(sqlite3.connect(database)) as plain:
        said = dict(plain.execute("SELECT pageno, name FROM dbstat").fetchall())
        leaves = dict(plain.execute("SELECT pageno, name FROM dbstat WHERE pagetype = 'leaf'").fetchall())
        roots = {1: "sqlite_master"} | dict(
            plain.execute("SELECT rootpage, name FROM sqlite_master WHERE rootpage > 0").fetchall()
        )

    owners = map_pages(database.read_bytes(), page_size_of(database), 0, roots)

    older = {"sqlite_schema": "sqlite_master"}
    assert {page: owner.name for page, owner in owners.items()} == {
        page: older.get(name, name) for page, name in said.items()
    }
    for table in ("small", "large"):
        ranges = sorted(
            (owners[page].first_row, owners[page].last_row) for page, name in leaves.items() if name == table
        )
        assert (ranges[0][0], ranges[-1][1]) == (FIRST_ROW, LAST_ROW)
        assert all(before[1] + 1 == after[0] for before, after in pairwise(ranges))


def test_damaged_tree_ends_there_and_never_the_program(database: Path):
    """Each page in turn is overwritten; what can still be told of the others is told."""
    size = page_size_of(database)
    data = bytearray(database.read_bytes())
    with closing(sqlite3.connect(database)) as plain:
        roots = dict(plain.execute("SELECT rootpage, name FROM sqlite_master WHERE rootpage > 0").fetchall())
    pages = len(data) // size
    for number in range(2, pages + 1, max(1, pages // 12)):
        for filling in (b"\x00", b"\xff", b"\x05"):
            broken = bytearray(data)
            broken[(number - 1) * size : number * size] = filling * size
            owners = map_pages(bytes(broken), size, 0, roots)
            assert set(owners) <= set(range(1, pages + 1))
            assert {owner.name for owner in owners.values()} <= set(roots.values())


def test_size_of_a_page_is_read_from_the_header(database: Path):
    with closing(sqlite3.connect(database)) as plain:
        (said,) = plain.execute("PRAGMA page_size").fetchone()

    assert page_size_of(database) == said
    assert sum(len(page) for page in read_pages(database, said)) == database.stat().st_size


def test_every_changed_page_is_found_by_its_number(database: Path):
    write_sums(database)
    assert changed_pages(database) == []
    size, data = page_size_of(database), database.read_bytes()
    pages = len(data) // size

    for number in {1, 2, pages // 2 + 1, pages}:
        for at in (0, size - 1):
            broken = bytearray(data)
            broken[(number - 1) * size + at] ^= 1
            if number == 1 and at == 0:
                continue  # The header's own name is not touched: then it is no database at all.
            database.write_bytes(bytes(broken))
            assert changed_pages(database) == [number]
    database.write_bytes(data[:-size])
    assert changed_pages(database) == [pages]
    database.write_bytes(data + bytes(size))
    assert changed_pages(database) == [pages + 1]


@pytest.mark.parametrize("harm", ["gone", "torn", "flipped", "other mark"])
def test_sums_that_are_not_whole_are_none(database: Path, harm: str):
    write_sums(database)
    path = sums_path(database)
    data = path.read_bytes()
    assert data.startswith(MAGIC)
    if harm == "gone":
        path.unlink()
    else:
        other = {"torn": data[:-1], "flipped": data[:-1] + bytes([data[-1] ^ 1]), "other mark": b"X" + data[1:]}
        path.write_bytes(other[harm])

    assert changed_pages(database) is None


def test_pages_are_not_compared_while_lines_wait_in_the_log(database: Path):
    write_sums(database)
    log = database.with_name(f"{database.name}-wal")
    log.write_bytes(b"x")
    assert changed_pages(database) is None

    log.write_bytes(b"")
    assert changed_pages(database) == []


def test_sums_go_with_the_first_change_and_come_back_at_the_end(tmp_path: Path):
    with filled_store(tmp_path) as store:
        path = sums_path(store.path)
        assert path.exists()
        tags.list_tags(store, 1)
        assert path.exists(), "looking is no change"
        tags.change_tag(store, 1, name="hose")
        assert not path.exists()

    assert changed_pages(store.path) == []
    assert check_database(store.path) == []
    assert find_changed_rows(store.path) == {}


def test_damaged_row_is_named_with_its_table_and_tag(tmp_path: Path):
    with filled_store(tmp_path) as store:
        tags.change_tag(store, 1, name="lift pump hose")
    data = store.path.read_bytes()
    assert data.count(b"lift pump hose") >= 1
    at = data.index(b"lift pump hose")
    store.path.write_bytes(data[:at] + b"gift pump hose" + data[at + 14 :])

    faults = check_database(store.path)

    assert {fault.table for fault in faults} & {"tag", "undo_line", "search_text_content"}
    assert all(fault.why.startswith("page ") for fault in faults)
    assert find_changed_rows(store.path)


def test_empty_and_unreadable_files_are_told(tmp_path: Path):
    (tmp_path / "empty").touch()
    (tmp_path / "other").write_bytes(b"no database" * 1000)

    assert [fault.why for fault in check_database(tmp_path / "empty")] == ["it is empty"]
    assert check_database(tmp_path / "other")[0].why.startswith("it cannot be read")
    assert find_changed_rows(tmp_path / "empty") == find_changed_rows(tmp_path / "other") == {}


def test_database_is_free_while_nobody_writes_to_it(tmp_path: Path):
    with filled_store(tmp_path) as store:
        with store.transaction():
            assert not is_free(store.path)
        path = store.path
    assert is_free(path)
    path.write_bytes(b"no database" * 1000)
    assert is_free(path), "nobody can have it open as one"


@pytest.fixture
def target(tmp_path: Path) -> Path:
    return tmp_path / "copy.sqlite"


def test_snapshot_is_one_whole_file_of_that_moment(store: Store, target: Path):
    with store.step("named", NOW):
        tags.change_tag(store, 1, name="hose")

    save_snapshot(store, target)
    tags.change_tag(store, 1, name="later")

    with closing(sqlite3.connect(f"{target.as_uri()}?mode=ro", uri=True)) as plain:
        assert plain.execute("SELECT name FROM tag").fetchall() == [("hose",)]
        assert plain.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        assert plain.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert {path.name for path in target.parent.iterdir() if path.name.startswith("copy")} == {"copy.sqlite"}


def test_damaged_database_is_not_copied_over_sound_backups(tmp_path: Path, target: Path):
    with filled_store(tmp_path) as store:
        tags.change_tag(store, 1, name="lift pump hose")
    data = store.path.read_bytes()
    store.path.write_bytes(data.replace(b"lift pump hose", b"gift pump hose"))

    with Store(store.path, read_only=True) as damaged, pytest.raises(ArchiveTrouble, match="asfound repair"):
        save_snapshot(damaged, target)

    assert not target.exists()
