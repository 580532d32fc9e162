"""Every earlier format is brought to the present one with nothing lost; a later one is left alone."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from asfound.errors import NewerArchive, UnfinishedArchive
from asfound.store import migrations, tags
from asfound.store.database import Store
from asfound.store.migrations import MIGRATIONS, STAMP, is_current
from tests.store.filled import NOW

EARLIER = range(1, len(MIGRATIONS))


def make(place: Path, formats: int, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A database as the program of an earlier format made it, with a job and a tag."""
    with monkeypatch.context() as earlier:
        earlier.setattr(migrations, "MIGRATIONS", MIGRATIONS[:formats])
        with Store(place) as store:
            assert store.value("PRAGMA user_version") == formats
            store.run("INSERT INTO job(name, zone, created_at) VALUES ('Sallow', 'Etc/UTC', ?)", NOW.isoformat())
            tags.add_tag(store, 1, "17", NOW, kind="hose", name="it's here", ends=2)
            with store.step("flow", NOW):
                tags.change_tag(store, 1, flow="A to B")
    return place


def schema(store: Store) -> dict[str, Any]:
    """Tables with their columns, views, indexes and triggers; ALTER TABLE writes other words for the same columns."""
    found = {row["name"]: row for row in store.rows("SELECT type, name, sql FROM sqlite_master")}
    return {
        name: sorted(map(tuple, store.rows(f'PRAGMA table_info("{name}")'))) if row["type"] == "table" else row["sql"]
        for name, row in found.items()
    }


@pytest.mark.parametrize("formats", EARLIER)
def test_earlier_format_becomes_the_same_as_a_new_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, formats: int):
    with Store(make(tmp_path / "old.sqlite", formats, monkeypatch)) as old, Store(tmp_path / "new.sqlite") as new:
        assert schema(old) == schema(new)
        for pragma in ("user_version", "application_id"):
            assert old.value(f"PRAGMA {pragma}") == new.value(f"PRAGMA {pragma}")
        assert old.value("PRAGMA integrity_check") == "ok"


@pytest.mark.parametrize("formats", EARLIER)
def test_earlier_format_keeps_what_was_said_and_how_to_take_it_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, formats: int
):
    with Store(make(tmp_path / "old.sqlite", formats, monkeypatch)) as store:
        tag = tags.get_tag(store, 1)
        assert (tag.number, tag.name, tag.flow, tag.ends) == ("17", "it's here", "A to B", 2)
        assert store.undo(NOW) == "flow"
        assert tags.get_tag(store, 1).flow == ""


@pytest.mark.parametrize("formats", EARLIER)
def test_step_that_brings_it_up_is_taken_whole_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, formats: int
):
    place = make(tmp_path / "old.sqlite", formats, monkeypatch)
    with monkeypatch.context() as broken:
        broken.setattr(migrations, "MIGRATIONS", (*MIGRATIONS[:formats], _half_done))
        with pytest.raises(ZeroDivisionError):
            Store(place)
    with closing(sqlite3.connect(place)) as plain:
        assert plain.execute("PRAGMA user_version").fetchone() == (formats,)
        assert plain.execute("SELECT COUNT(*) FROM sqlite_master WHERE name = 'half'").fetchone() == (0,)

    with Store(place) as store:
        assert tags.get_tag(store, 1).name == "it's here"


def _half_done(db: Any) -> None:
    db.execute("CREATE TABLE half(x TEXT) STRICT")
    raise ZeroDivisionError


def test_column_that_a_later_format_adds_is_taken_back_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """Triggers are made from the columns there are, so that whoever adds one need not think of undo."""
    place = make(tmp_path / "old.sqlite", len(MIGRATIONS), monkeypatch)

    def later(db: Any) -> None:
        db.execute("ALTER TABLE tag ADD COLUMN weight_kg REAL")

    monkeypatch.setattr(migrations, "MIGRATIONS", (*MIGRATIONS, later))
    with Store(place) as store:
        for weight in (1.5, 2.5):
            with store.step(str(weight), NOW):
                store.run("UPDATE tag SET weight_kg = ?", weight)
        store.undo(NOW)
        assert store.value("SELECT weight_kg FROM tag") == 1.5
        with store.step("gone", NOW):
            tags.remove_tag(store, 1)
        store.undo(NOW)
        assert store.value("SELECT weight_kg FROM tag") == 1.5


@pytest.mark.parametrize("ahead", [1, 900])
def test_later_format_is_refused_and_not_a_byte_of_it_changed(tmp_path: Path, ahead: int):
    place = tmp_path / "later.sqlite"
    with Store(place) as store:
        store.run(f"PRAGMA user_version = {len(MIGRATIONS) + ahead}")
    before = place.read_bytes()

    with pytest.raises(NewerArchive, match=f"format {len(MIGRATIONS) + ahead}, this program knows {len(MIGRATIONS)}"):
        Store(place)

    assert place.read_bytes() == before


@pytest.mark.parametrize(
    ("version", "application", "answer"),
    [(len(MIGRATIONS), STAMP, True), (len(MIGRATIONS) - 1, STAMP, False), (0, 0, False)],
)
def test_present_format_is_known_by_its_two_numbers(version: int, application: int, answer: bool):
    with closing(sqlite3.connect(":memory:")) as plain:
        plain.execute(f"PRAGMA user_version = {version}")
        plain.execute(f"PRAGMA application_id = {application}")

        assert is_current(plain) is answer


def test_other_tables_under_the_present_number_are_refused():
    with closing(sqlite3.connect(":memory:")) as plain:
        plain.execute(f"PRAGMA user_version = {len(MIGRATIONS)}")
        plain.execute(f"PRAGMA application_id = {STAMP + 1}")

        with pytest.raises(UnfinishedArchive, match="nothing in it was touched"):
            is_current(plain)


def test_bringing_up_a_database_that_is_up_changes_nothing(tmp_path: Path):
    with Store(tmp_path / "new.sqlite") as store:
        before = schema(store), store.stamp()
        migrations.migrate(store.db)

        assert (schema(store), store.stamp()) == before


MARKED: dict[str, tuple[Callable[[Store], object], set[tuple[str, int]]]] = {
    "tag": (lambda s: tags.change_tag(s, 1, name="pump"), {("tag", 1)}),
    "end of a tag": (lambda s: tags.change_end(s, 1, "A", place="pump"), {("tag", 1)}),
    "other number": (lambda s: tags.add_alias(s, 1, "17x"), {("tag", 1)}),
    "belt": (lambda s: tags.save_belt(s, 1, path="crank"), {("tag", 1)}),
    "new bag": (lambda s: s.run("INSERT INTO bag(job_id, label) VALUES (1, 'B1')"), {("bag", 1)}),
    "day": (lambda s: s.run("INSERT INTO day_note VALUES (1, '2025-10-18', 'x')"), {("day", 1)}),
    "line": (
        lambda s: s.run("INSERT INTO event(job_id, tag_id, kind, at, entered_at) VALUES (1, 1, 'off', '2025', '2025')"),
        {("line", 1), ("tag", 1)},
    ),
    "snag": (
        lambda s: s.run("INSERT INTO snag(job_id, label, found_at, tag_id, what) VALUES (1, '1', '2025', 1, 'torn')"),
        {("snag", 1), ("tag", 1)},
    ),
    "camera": (lambda s: s.run("INSERT INTO camera(job_id, name) VALUES (1, 'K1')"), set()),
}


@pytest.mark.parametrize("what", MARKED)
def test_change_marks_the_texts_that_are_searched_and_no_others(store: Store, what: str):
    change, marked = MARKED[what]
    store.run("DELETE FROM stale_search")

    change(store)

    assert {tuple(row) for row in store.rows("SELECT kind, ref FROM stale_search")} == marked


def test_bag_and_its_groups_mark_the_tags_it_belongs_to(store: Store):
    store.run("INSERT INTO bag(job_id, label) VALUES (1, 'B1')")
    store.run("INSERT INTO bag_tag VALUES (1, 1)")
    for change in (
        "UPDATE bag SET place = 'shelf'",
        "INSERT INTO bag_group(bag_id, what) VALUES (1, 'bolts')",
        "UPDATE bag_group SET thread = 'M8'",
        "DELETE FROM bag_group",
        "DELETE FROM bag_tag",
    ):
        store.run("DELETE FROM stale_search")
        store.run(change)
        assert {tuple(row) for row in store.rows("SELECT kind, ref FROM stale_search")} == {("bag", 1), ("tag", 1)}


GROUPED = {
    "INSERT INTO placed VALUES (1, 1)": True,
    "INSERT INTO pair_word(before_id, after_id, word) VALUES (1, 2, 'pair')": True,
    "INSERT INTO camera_word VALUES (1, '', -240.0)": True,
    "INSERT INTO event(job_id, kind, at, entered_at) VALUES (1, 'not so', '2025', '2025')": True,
    "INSERT INTO event(job_id, kind, at, entered_at) VALUES (1, 'drained', '2025', '2025')": False,
    "INSERT INTO spot_name VALUES (1, 'starter')": False,
    "UPDATE tag SET name = 'x'": False,
}


@pytest.mark.parametrize("change", GROUPED)
def test_only_words_that_change_spots_make_them_stale(store: Store, change: str):
    store.run("DELETE FROM setting WHERE name = 'stale spots'")

    store.run(change)

    assert bool(store.rows("SELECT 1 FROM setting WHERE name = 'stale spots'")) is GROUPED[change]


def test_spots_that_are_stale_already_stay_so(store: Store):
    """An upsert overrides a trigger's own OR IGNORE, so the trigger asks: sqlite.org/lang_createtrigger."""
    for spot_id in (1, None):
        store.run("INSERT INTO placed VALUES (1, ?) ON CONFLICT DO UPDATE SET spot_id = excluded.spot_id", spot_id)

    assert len(store.rows("SELECT 1 FROM setting WHERE name = 'stale spots'")) == 1
