"""One connection and two: what is written together, who sees it when, and what stands when something goes wrong."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, nullcontext
from pathlib import Path
from threading import Event, Thread

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.errors import ArchiveTrouble, NothingToUndo
from asfound.store import connection, tags
from asfound.store.database import Store
from asfound.store.jobs import get_setting, save_setting
from tests.store.filled import NOW, filled_store


@pytest.fixture
def other(store: Store) -> Iterator[Store]:
    """A second connection to the same file, as another window has it."""
    with Store(store.path) as opened:
        yield opened


class Stopped(Exception):
    """What goes wrong in the middle of something."""


@contextmanager
def going_wrong() -> Iterator[None]:
    """What stands inside is stopped, and the stop comes through to here."""
    with pytest.raises(Stopped):
        yield


def rename(store: Store, name: str) -> None:
    with store.step(name, NOW):
        tags.change_tag(store, 1, name=name)


def test_file_is_a_database_that_any_reader_opens(store: Store):
    """Read by Python's plain sqlite3, with SQLite's own checks (sqlite.org/pragma.html#pragma_integrity_check)."""
    rename(store, "lift pump hose")
    store.close()

    with closing(sqlite3.connect(f"{store.path.as_uri()}?mode=ro", uri=True)) as plain:
        assert plain.execute("SELECT number, name FROM tag").fetchall() == [("17", "lift pump hose")]
        assert plain.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert plain.execute("PRAGMA foreign_key_check").fetchall() == []


def test_what_is_committed_is_on_the_disk_and_readers_do_not_wait_for_writers(store: Store):
    """WAL, and FULL (2) so that a power cut takes nothing that was told as saved: sqlite.org/pragma.html."""
    assert store.value("PRAGMA journal_mode") == "wal"
    assert store.value("PRAGMA synchronous") == 2


def test_row_that_refers_to_nothing_is_refused(store: Store):
    with pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"), store.step("end of no tag", NOW):
        store.run("INSERT INTO tag_end(tag_id, end) VALUES (99, 'A')")

    assert store.value("SELECT COUNT(*) FROM tag_end") == 2


def test_transaction_keeps_all_or_nothing(store: Store):
    with going_wrong(), store.transaction():
        save_setting(store, "a", "1")
        save_setting(store, "b", "2")
        raise Stopped

    assert (get_setting(store, "a"), get_setting(store, "b")) == (None, None)
    with store.transaction():
        save_setting(store, "a", "1")
        save_setting(store, "b", "2")
    assert (get_setting(store, "a"), get_setting(store, "b")) == ("1", "2")


def test_inner_transaction_can_fail_alone(store: Store, other: Store):
    with store.transaction():
        save_setting(store, "outer", "1")
        with going_wrong(), store.transaction():
            save_setting(store, "inner", "1")
            raise Stopped
        save_setting(store, "after", "1")

    assert [get_setting(other, name) for name in ("outer", "inner", "after")] == ["1", None, "1"]


def test_inner_transaction_goes_with_the_outer_one(store: Store):
    with going_wrong(), store.transaction():
        with store.transaction():
            save_setting(store, "inner", "1")
        raise Stopped

    assert get_setting(store, "inner") is None


@st.composite
def nestings(draw: st.DrawFn, depth: int = 3) -> list[object]:
    """What is done in a transaction, in turn: a number is written, or another transaction is run; True fails it."""
    inside = st.lists(st.integers(0, 3) | (nestings(depth - 1) if depth else st.nothing()), max_size=3)
    return [draw(st.booleans()), *draw(inside)]


@settings(max_examples=40, deadline=None)
@given(tree=nestings())
def test_nested_transactions_keep_what_a_copy_of_the_state_keeps(
    tree: list[object], tmp_path_factory: pytest.TempPathFactory
):
    """Against the simplest model: a failed transaction puts back the dictionary as it was when it began."""
    with Store(tmp_path_factory.mktemp("nested") / "asfound.sqlite") as store:
        store.run("PRAGMA synchronous = OFF")
        kept = _walk(store, tree, {})

        assert {row["name"]: row["value"] for row in store.rows("SELECT name, value FROM setting")} == kept


def _walk(store: Store, tree: list[object], before: dict[str, str]) -> dict[str, str]:
    fails, *inside = tree
    state = dict(before)
    try:
        with store.transaction():
            for number, one in enumerate(inside):
                if isinstance(one, list):
                    state = _walk(store, one, state)
                else:
                    state[str(one)] = str(number)
                    save_setting(store, str(one), str(number))
            if fails:
                raise Stopped
    except Stopped:
        return before
    return state


def test_step_that_fails_is_none_and_the_next_one_is_its_own(store: Store):
    with going_wrong(), store.step("failed", NOW):
        tags.change_tag(store, 1, name="half")
        raise Stopped

    assert (tags.get_tag(store, 1).name, store.steps(9)) == ("", [])
    rename(store, "whole")
    assert store.steps(9) == ["whole"]


def test_inner_step_that_fails_leaves_the_outer_one_open(store: Store):
    with store.step("outer", NOW):
        with going_wrong(), store.step("inner", NOW):
            tags.change_tag(store, 1, name="inner")
            raise Stopped
        tags.change_tag(store, 1, flow="A to B")

    assert store.steps(9) == ["outer"]
    assert (tags.get_tag(store, 1).name, tags.get_tag(store, 1).flow) == ("", "A to B")
    store.undo(NOW)
    assert tags.get_tag(store, 1).flow == ""


def test_change_outside_a_step_is_not_one_to_take_back(store: Store):
    tags.change_tag(store, 1, name="brought in")

    assert store.count_steps() == 0
    with pytest.raises(NothingToUndo, match="nothing left to undo"):
        store.undo(NOW)
    assert tags.get_tag(store, 1).name == "brought in"


def test_steps_are_told_latest_first_and_no_more_than_asked(store: Store):
    for name in ("one", "two", "three"):
        rename(store, name)

    assert (store.steps(2), store.steps(9), store.count_steps()) == (["three", "two"], ["three", "two", "one"], 3)
    store.undo(NOW)
    assert (store.steps(9), store.count_steps()) == (["two", "one"], 2)


def test_undo_writes_down_when_and_undoes_no_more_than_one(store: Store):
    for name in ("one", "two"):
        rename(store, name)

    store.undo(NOW)

    rows = store.rows("SELECT words, at, undone_at FROM step WHERE kind = '' ORDER BY step_id")
    assert [tuple(row) for row in rows] == [
        ("one", NOW.isoformat(), None),
        ("two", NOW.isoformat(), NOW.isoformat()),
    ]
    assert tags.get_tag(store, 1).name == "one"


def test_undo_is_itself_no_step(store: Store):
    """Else the second undo would take back the first, and nothing before could ever be reached."""
    for name in ("one", "two"):
        rename(store, name)
    store.undo(NOW)
    store.undo(NOW)

    assert tags.get_tag(store, 1).name == ""
    assert store.value("SELECT COUNT(*) FROM open_step") == 0


def test_stamp_changes_with_every_writing_and_with_nothing_else(store: Store, other: Store):
    stamp = store.stamp()
    tags.list_tags(store, 1)
    tags.list_tags(other, 1)
    assert store.stamp() == stamp

    save_setting(store, "own", "1")
    after_own = store.stamp()
    assert after_own != stamp

    save_setting(other, "another's", "1")
    assert store.stamp() not in (stamp, after_own)


@pytest.mark.parametrize("is_inner", [False, True])
def test_stamp_changes_when_what_was_written_is_rolled_back(store: Store, is_inner: bool):
    with store.transaction() if is_inner else nullcontext():
        with going_wrong(), store.transaction():
            rename(store, "for a moment")
            within = store.stamp()
            raise Stopped
        assert store.stamp() != within


def test_what_one_writes_the_other_sees_only_when_it_is_whole(store: Store, other: Store):
    with store.transaction():
        save_setting(store, "half", "1")
        assert get_setting(other, "half") is None
    assert get_setting(other, "half") == "1"


def test_second_writer_waits_for_the_first(store: Store, other: Store):
    """The other one works in a thread of its own, as the background does; sqlite3 ties a connection to its thread."""
    begun, done = Event(), []

    def write() -> None:
        with Store(store.path) as mine:
            begun.set()
            rename(mine, "second")
            done.append(tags.get_tag(mine, 1).name)

    thread = Thread(target=write)
    with store.transaction():
        thread.start()
        assert begun.wait(10)
        tags.change_tag(store, 1, name="first")
        assert done == []
    thread.join(10)

    assert done == ["second"]
    assert tags.get_tag(other, 1).name == "second"
    assert other.undo(NOW) == "second"
    assert tags.get_tag(store, 1).name == "first"


def test_writer_that_waits_in_vain_says_so_and_saves_nothing(store: Store, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(connection, "BUSY_TIMEOUT_MS", 50)
    with Store(store.path) as impatient, store.transaction():
        save_setting(store, "held", "1")
        with pytest.raises(ArchiveTrouble, match="locked; nothing was saved") as told:
            rename(impatient, "second")

    assert str(store.path) in str(told.value)
    assert (get_setting(store, "held"), tags.get_tag(store, 1).name) == ("1", "")


def test_transaction_that_read_first_is_not_refused_by_a_writer_in_between(store: Store, other: Store):
    """The right to write is taken at once: a reader that turns writer could only be refused, never made to wait."""
    with store.transaction():
        assert tags.get_tag(store, 1).name == ""
        other._connection.execute("PRAGMA busy_timeout = 0")
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            other._connection.execute("UPDATE tag SET name = 'between'")
        tags.change_tag(store, 1, name="mine")

    assert tags.get_tag(other, 1).name == "mine"


def test_many_rows_are_all_written_or_none(store: Store):
    rows: list[tuple[object, ...]] = [("a", "1"), ("b", "2"), ("a", "again")]
    with pytest.raises(sqlite3.IntegrityError), store.transaction():
        store.run_many("INSERT INTO setting(name, value) VALUES (?, ?)", rows)
    assert get_setting(store, "a") is None

    with store.transaction():
        store.run_many("INSERT INTO setting(name, value) VALUES (?, ?)", rows[:2])
    assert (get_setting(store, "a"), get_setting(store, "b")) == ("1", "2")


def test_one_row_and_one_value_or_none(store: Store):
    assert store.value("SELECT number FROM tag") == "17"
    assert store.value("SELECT number FROM tag WHERE tag_id = 99") is None
    assert store.row("SELECT number FROM tag WHERE tag_id = 99") is None
    row = store.row("SELECT number, ends FROM tag")
    assert row is not None
    assert dict(row) == {"number": "17", "ends": 2}
    assert store.rows("SELECT number FROM tag WHERE tag_id = 99") == []


def test_closing_twice_does_no_harm_and_nothing_is_read_afterwards(tmp_path: Path):
    with filled_store(tmp_path) as store:
        store.close()
        store.close()

    with pytest.raises(sqlite3.ProgrammingError, match="closed"):
        store.value("SELECT 1")


def test_what_was_not_committed_when_a_program_died_is_gone_and_the_rest_is_whole(store: Store):
    rename(store, "kept")
    store.run("BEGIN IMMEDIATE")
    store.run("UPDATE tag SET name = 'lost'")
    store.close()

    with Store(store.path) as again:
        assert tags.get_tag(again, 1).name == "kept"
        assert again.value("PRAGMA integrity_check") == "ok"
        assert again.undo(NOW) == "kept"


@pytest.mark.parametrize("place", [0, 20, 100, 4096, 40_000])
def test_damaged_file_is_told_or_read_but_never_a_crash(store: Store, place: int):
    """Flipped bytes: the header (sqlite.org/fileformat2.html, section 1.3), a page of the schema, a page of rows."""
    store.close()
    data = bytearray(store.path.read_bytes())
    for at in range(place, min(place + 16, len(data))):
        data[at] ^= 0xFF
    store.path.write_bytes(bytes(data))

    try:
        with Store(store.path) as opened:
            assert opened.value("PRAGMA integrity_check") is not None
    except ArchiveTrouble as told:
        assert str(store.path) in str(told)  # noqa: PT017
    except sqlite3.DatabaseError:
        assert place > 100, "the header and the schema are met when it is opened"


def test_empty_file_becomes_a_database(tmp_path: Path):
    """What is left when a program is killed between making the file and writing to it."""
    (tmp_path / "asfound.sqlite").touch()

    with Store(tmp_path / "asfound.sqlite") as store:
        assert store.value("SELECT COUNT(*) FROM tag") == 0


def test_folder_in_place_of_the_file_is_told_in_words(tmp_path: Path):
    (tmp_path / "asfound.sqlite").mkdir()

    with pytest.raises(ArchiveTrouble, match="unable to open"):
        Store(tmp_path / "asfound.sqlite")


def test_library_for_tables_is_loaded_only_when_it_is_asked_for(tmp_path: Path):
    with filled_store(tmp_path) as store:
        assert "db" not in vars(store)
        assert store.db.table("tag").count == 1
        assert store.db is store.db
