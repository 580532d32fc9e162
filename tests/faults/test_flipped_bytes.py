"""One flipped byte, anywhere in an archive, is found by a check, with the pictures and tags it costs."""

from __future__ import annotations

import json
import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from asfound.actions.add import add_dump
from asfound.actions.archive import open_archive
from asfound.actions.check import CheckReport, check_archive
from asfound.archive.cache import list_cached
from asfound.archive.layout import Layout
from asfound.errors import ArchiveTrouble
from asfound.store.page_sums import sums_path
from tests.faults.damaging import flip, original, pages_of, small_archive
from tests.sallow_archive import Bench


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return small_archive(tmp_path) / "archive"


def full(folder: Path) -> CheckReport:
    return check_archive(folder, is_full=True)


def test_sound_archive_is_called_sound_and_stays_as_it_is(folder: Path):
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}

    assert check_archive(folder).is_sound
    report = full(folder)

    assert report.is_sound
    assert report.checked == 1 + 4 + len(list(list_cached(Layout(folder))))
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("share", [0.0, 0.3, 0.999])
def test_flipped_byte_of_an_original_is_found_with_what_it_costs(folder: Path, share: float):
    with open_archive(folder) as archive:
        path = original(archive, "P1_0000.jpg")
    flip(path, int(share * path.stat().st_size))

    assert check_archive(folder).is_sound, "its size is right"
    (damage,) = full(folder).damaged

    assert damage.file == path.relative_to(folder).as_posix()
    assert damage.pictures == ((1, "P1_0000.jpg"),)
    assert (damage.tags, damage.ends) == (("17",), ("17a", "17b"))
    assert "P1_0000.jpg" in damage.what


@pytest.mark.parametrize("torn", [b"", b"\x93NUMPY", b"no numbers at all"], ids=["empty", "begun", "other"])
def test_torn_numbers_of_the_comparing_stop_no_command(folder: Path, torn: bytes):
    with closing(sqlite3.connect(folder / "asfound.sqlite")) as connection:
        connection.execute("UPDATE examined SET place = ?", (torn,))
        connection.execute("UPDATE likeness SET detail = ?", (torn,))
        connection.commit()
    for path in list_cached(Layout(folder)):
        path.chmod(0o644)
        path.write_bytes(torn)
    bench = Bench(folder)

    for words in (
        ("17",), ("where", "P1_0001.jpg"), ("compare", "P1_0001.jpg", "P1_0002.jpg"), ("gaps",), ("spots",),
        ("pin", "17a", "P1_0002.jpg", ".5", ".5"), ("book", str(folder.parent / "b.pdf")), ("rebuild",),
    ):  # fmt: skip
        assert bench.run(*words).return_value in (0, 1, None), words


def test_torn_search_is_trouble_with_the_next_move(folder: Path):
    Bench(folder).run("find", "hose")
    with closing(sqlite3.connect(folder / "asfound.sqlite")) as connection:
        connection.execute("UPDATE search_text_data SET block = X'936A756E6B'")
        connection.commit()

    with pytest.raises(ArchiveTrouble, match="asfound check says what is damaged"):
        Bench(folder).run("find", "hose")


def test_right_bytes_added_again_heal_a_damaged_original(folder: Path):
    with open_archive(folder) as archive:
        path = original(archive, "P1_0000.jpg")
        whole = path.read_bytes()
        flip(path, 100)

        report = add_dump(archive, [folder.parent / "card" / "P1_0000.jpg"], workers=0)

        assert [(each.file, each.came_back) for each in report.known] == [("P1_0000.jpg", True)]
    assert path.read_bytes() == whole
    assert full(folder).is_sound


def test_every_flipped_byte_of_the_database_is_found(folder: Path):
    """Of words in a row as well, which SQLite's own check takes as they are."""
    chance, database = random.Random(7), Layout(folder).database
    whole = database.read_bytes()
    for _ in range(60):
        flip(database, chance.randrange(len(whole)))
        damaged = check_archive(folder).damaged
        assert [one.file for one in damaged][:1] == ["asfound.sqlite"]
        assert "page" in damaged[0].what
        database.write_bytes(whole)
    assert check_archive(folder).is_sound


def test_damaged_page_of_tags_names_its_tags(folder: Path):
    database = Layout(folder).database
    (at,) = pages_of(database, "tag")
    flip(database, database.read_bytes().index(b"hose 17", at))
    with closing(sqlite3.connect(database)) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",), "SQLite itself sees nothing"

    (damage,) = check_archive(folder).damaged

    assert damage.tags == ("12", "17")
    assert "rows of tag" in damage.what


def test_damaged_page_of_an_index_costs_nothing(folder: Path):
    database = Layout(folder).database
    flip(database, pages_of(database, "pin_tag")[0] + 4000)

    (damage,) = check_archive(folder).damaged

    assert "no row is lost" in damage.what


def test_flipped_and_emptied_previews_and_features_are_found_and_made_again(folder: Path):
    paths = [path for path in list_cached(Layout(folder)) if path.parent.parent.name != "screens"]
    flip(paths[0], paths[0].stat().st_size // 2)
    flip(paths[1], 3)
    paths[2].write_bytes(b"")

    damaged = full(folder).damaged

    assert {one.file for one in damaged} == {path.relative_to(folder).as_posix() for path in paths[:3]}
    assert not any(one.is_lost for one in damaged)
    assert all("made again" in one.what for one in damaged)


def test_lost_shortened_and_stray_files_are_told_by_a_quick_check(folder: Path):
    with open_archive(folder) as archive:
        lost, short = original(archive, "P1_0000.jpg"), original(archive, "P1_0001.jpg")
    lost.unlink()
    short.chmod(0o644)
    short.write_bytes(short.read_bytes()[:-1])
    (folder / "originals" / "notes.txt").write_text("mine")

    report = check_archive(folder)

    assert {one.pictures[0][1]: one.ends for one in report.damaged} == {
        "P1_0000.jpg": ("17a", "17b"), "P1_0001.jpg": ("12a",)
    }  # fmt: skip
    assert report.strays == ["originals/notes.txt: not put here by this program"]


def test_full_check_that_was_stopped_goes_on_and_tells_what_it_had_found(folder: Path):
    with open_archive(folder) as archive:
        paths = sorted(original(archive, f"P1_000{number}.jpg") for number in range(4))
    flip(paths[0], 9)

    def stop(what: str, done: int, total: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        check_archive(folder, is_full=True, progress=stop)
    report = full(folder)

    assert report.earlier in (1, 2)
    assert [one.file for one in report.damaged] == [paths[0].relative_to(folder).as_posix()]
    assert full(folder).earlier == 0, "one that ran to its end is followed by a new one"


@pytest.mark.parametrize("content", [b"", b"no database at all" * 300])
def test_originals_beside_a_lost_database_are_still_checked(folder: Path, content: bytes):
    with open_archive(folder) as archive:
        path = original(archive, "P1_0002.jpg")
    flip(path, 50)
    Layout(folder).database.write_bytes(content)

    damaged = full(folder).damaged

    assert {one.file for one in damaged} == {"asfound.sqlite", path.relative_to(folder).as_posix()}


def test_write_makes_new_sums_and_a_killed_one_leaves_none(folder: Path):
    database = Layout(folder).database
    with open_archive(folder) as archive:
        with archive.step("day"):
            archive.store.run("INSERT INTO day_note(job_id, day, note) VALUES (1, '2025-10-18', 'x')")
        assert not sums_path(database).exists()
        assert check_archive(folder).is_sound
    assert sums_path(database).exists()
    assert check_archive(folder).is_sound


def test_command_tells_in_words_and_in_json(folder: Path):
    bench = Bench(folder)
    assert bench.run("check").return_value == 0
    with open_archive(folder) as archive:
        path = original(archive, "P1_0000.jpg")
    flip(path, 100)

    told, document = bench.run("check", "--full"), bench.run("check", "--full", "--json")

    assert (told.return_value, document.return_value) == (1, 1)
    assert "P1_0000.jpg" in told.stderr
    assert "17a, 17b" in told.stderr
    found = json.loads(document.stdout)
    assert (found["sound"], found["checked"] > 5) == (False, True)
    assert found["damaged"][0]["file"].startswith("originals/")
    assert found["damaged"][0]["tags"] == ["17"]
