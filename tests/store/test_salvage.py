"""What can be read of a damaged database is brought over, and nothing of a person's words is lost without a word."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.store import bags, events, pins, snags, tags
from asfound.store.database import Store
from asfound.store.integrity import check_database, find_changed_rows
from asfound.store.migrations import PERSON_TABLES
from asfound.store.page_sums import page_size_of
from asfound.store.salvage import LOST_WORDS, SalvageReport, salvage
from asfound.store.snapshot import put_into_use
from tests.built_once import copy_of
from tests.store.filled import NOW, filled_store

TAGS = 60
LONG = "behind the heat exchanger, under the bracket, " * 9
"""Enough words that the rows of a table lie on many pages."""


@pytest.fixture
def database(tmp_path: Path) -> Path:
    """Sixty tags with pins, bags, snags and lines of the log, at rest."""
    return copy_of(_make, tmp_path / "made") / "asfound.sqlite"


def _make(folder: Path) -> None:
    with filled_store(folder) as store, store.step("a long day", NOW):
        for number in range(100, 100 + TAGS):
            tag_id = tags.add_tag(store, 1, str(number), NOW, kind="hose", name=f"hose {number}", ends=2)
            tags.change_tag(store, tag_id, note=LONG)
            pins.save_pin(store, tag_id, "A", 1 + number % 3, NOW, x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None)
            events.add_event(store, tag_id, "off", NOW, NOW, note=LONG)
            bags.link_tag(store, bags.save_bag(store, 1, f"B{number}"), tag_id)
            snags.add_snag(store, 1, str(number), NOW, is_day_only=False, what=LONG)


def rows_of(database: Path) -> dict[str, set[tuple[object, ...]]]:
    with closing(sqlite3.connect(f"{database.as_uri()}?mode=ro&immutable=1", uri=True)) as plain:
        return {
            table: set(map(tuple, plain.execute(f"SELECT rowid, * FROM {table}").fetchall())) for table in PERSON_TABLES
        }


def leaves_of(database: Path, table: str) -> list[int]:
    """Pages that hold rows of a table, from the second on, as SQLite itself tells."""
    with closing(sqlite3.connect(database)) as plain:
        try:
            found = plain.execute("SELECT pageno FROM dbstat WHERE name = ? AND pagetype = 'leaf'", (table,)).fetchall()
        except sqlite3.OperationalError:
            pytest.skip("this SQLite was built without its dbstat table")
    return [number for (number,) in found]


def overwrite(database: Path, number: int, filler: bytes = b"\xa5") -> None:
    """A page as a broken disk hands it back."""
    size = page_size_of(database)
    with open(database, "r+b") as file:
        file.seek((number - 1) * size)
        file.write(filler * size)


def saved(database: Path, backup: Path | None = None) -> tuple[Path, SalvageReport]:
    target = database.with_name("fresh.sqlite")
    report = salvage(database, target, changed=find_changed_rows(database), backup=backup)
    put_into_use(target)
    return target, report


def test_sound_database_comes_over_whole_and_nothing_is_told(database: Path):
    before = database.read_bytes()

    target, report = saved(database)

    assert rows_of(target) == rows_of(database)
    assert (report.lost, report.doubtful, report.from_backup, report.loose) == ([], [], [], [])
    assert report.brought > 5 * TAGS
    assert database.read_bytes() == before, "the damaged one is only read"
    assert check_database(target) == []


def test_target_is_a_database_to_go_on_with(database: Path):
    target, _report = saved(database)

    with Store(target) as store:
        assert len(tags.list_tags(store, 1)) == TAGS + 1
        tags.add_tag(store, 1, "999", NOW, kind="hose", name="", ends=1)
        assert store.count_steps() == 1, "what was entered can still be taken back"


@pytest.mark.parametrize("table", ["event", "snag"])
def test_lost_rows_come_from_the_backup_and_are_named(database: Path, tmp_path: Path, table: str):
    backup = Path(shutil.copy(database, tmp_path / "backup.sqlite"))
    overwrite(database, leaves_of(database, table)[3])

    target, report = saved(database, backup)

    assert rows_of(target) == rows_of(backup)
    assert report.from_backup
    assert all(words.startswith(table) for words in report.from_backup)
    assert (report.lost, report.loose) == ([], [])
    assert check_database(target) == []


@pytest.mark.parametrize("table", ["event", "snag"])
def test_without_a_backup_each_table_that_lost_rows_is_named(database: Path, table: str):
    before = rows_of(database)
    overwrite(database, leaves_of(database, table)[3])

    target, report = saved(database)

    after = rows_of(target)
    assert 0 < len(before[table] - after[table]) < len(before[table]), "all but one page of it came over"
    assert any(table in words for words in report.lost)
    assert {name: after[name] for name in after if name != table} == {
        name: before[name] for name in before if name != table
    }


def test_lost_tag_keeps_its_number_so_that_its_pins_keep_their_tag(database: Path):
    before = rows_of(database)
    overwrite(database, leaves_of(database, "tag")[3])

    target, report = saved(database)

    assert rows_of(target)["pin"] == before["pin"]
    with Store(target) as store:
        known = tags.list_tags(store, 1)
        assert {tag.number for tag in known} == {"17", *map(str, range(100, 100 + TAGS))}
        hurt = [tag for tag in known if tag.note == LOST_WORDS]
    assert hurt
    assert sum("its number is kept" in words for words in report.lost) == len(hurt)


def test_readable_row_on_a_changed_page_is_told_to_be_looked_at_unless_a_backup_has_the_same(
    database: Path, tmp_path: Path
):
    backup = Path(shutil.copy(database, tmp_path / "backup.sqlite"))
    data = bytearray(database.read_bytes())
    at = data.index(b"behind the heat exchanger, under", page_size_of(database) * (leaves_of(database, "event")[3] - 1))
    data[at] ^= 0x01
    database.write_bytes(data)

    _target, report = saved(database)
    assert report.lost == []
    assert report.doubtful
    assert all(words.startswith("event") for words in report.doubtful)

    database.with_name("fresh.sqlite").unlink()
    _target, report = saved(database, backup)
    assert len(report.doubtful) == 1, "the others on that page are as the backup has them"


def test_words_about_something_that_is_gone_for_good_are_told_in_full(database: Path):
    with closing(sqlite3.connect(database, isolation_level=None)) as plain:
        plain.execute("PRAGMA foreign_keys = OFF")
        plain.execute("DELETE FROM tag_end WHERE tag_id = 5")
        plain.execute("DELETE FROM tag WHERE tag_id = 5")
        plain.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    target, report = saved(database)

    said = [json.loads(line) for line in report.loose]
    assert {one["table"] for one in said} >= {"pin", "event", "bag_tag"}
    assert all(one["lost"] == "tag" and one["tag_id"] == 5 for one in said)
    assert any(one.get("note") == LONG for one in said), "not only that, but what was said"
    assert check_database(target) == []


def test_nothing_but_noise_gives_an_empty_database_and_a_full_list(tmp_path: Path):
    damaged = tmp_path / "asfound.sqlite"
    damaged.write_bytes(b"\xa5" * 40_960)

    target, report = saved(damaged)

    assert report.brought == 0
    assert {words.split()[2].rstrip(",") for words in report.lost} >= {"tag", "tag_end", "pin", "event", "picture"}
    assert check_database(target) == []


FILLERS: tuple[Callable[[bytes], bytes], ...] = (
    lambda page: bytes(len(page)),
    lambda page: b"\xa5" * len(page),
    lambda page: page[: len(page) // 2] + bytes(len(page) - len(page) // 2),
    lambda page: bytes(byte ^ 0x10 for byte in page[:64]) + page[64:],
)
"""What disks do to a page: zeros, one byte over and over, torn in the middle, its head changed."""


@settings(max_examples=8, deadline=None)
@given(share=st.floats(0, 1, exclude_max=True), filler=st.sampled_from(FILLERS))
def test_whatever_page_is_hurt_nothing_is_lost_without_a_word(
    share: float, filler: Callable[[bytes], bytes], tmp_path_factory: pytest.TempPathFactory
):
    folder = tmp_path_factory.mktemp("hurt")
    database = copy_of(_make, folder / "made") / "asfound.sqlite"
    before, size = rows_of(database), page_size_of(database)
    data = bytearray(database.read_bytes())
    # The first page is the database's own head: without it there is no database to read.
    at = size * (1 + int(share * (len(data) // size - 1)))
    data[at : at + size] = filler(bytes(data[at : at + size]))
    database.write_bytes(data)

    target, report = saved(database)

    after = rows_of(target)
    named = " ".join((*report.lost, *report.doubtful, *report.loose))
    for table in PERSON_TABLES:
        if before[table] - after[table]:
            assert table in named, f"{len(before[table] - after[table])} rows of {table} went without a word"
    assert check_database(target) == []
