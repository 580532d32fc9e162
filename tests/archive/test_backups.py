"""A backup's folder, the states of the database in it, and originals found elsewhere by their bytes alone."""

from __future__ import annotations

import io
import os
import zipfile
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.archive.atomic import TEMPORARY
from asfound.archive.backups import (
    DATABASES,
    KEPT_LATEST,
    half_written,
    identity_of_backup,
    is_backup,
    list_states,
    make_backup_folder,
    publish_zip,
    save_identity,
    state_name,
    states_in_file,
    superseded,
    time_of_state,
)
from asfound.archive.elsewhere import Elsewhere
from asfound.archive.layout import holds_originals, make_layout
from asfound.archive.put import put_original
from asfound.core.fixity.digest import compute_digest

LATIN = datetime(2025, 10, 18, 11, 42, 11, tzinfo=timezone(timedelta(hours=2)))


def test_backup_is_told_from_an_archive_and_explains_itself(tmp_path: Path):
    layout = make_backup_folder(tmp_path / "stick" / "backup")
    layout.readme.write_text("changed by a person")
    make_backup_folder(layout.folder)

    assert is_backup(layout.folder)
    assert {path.name for path in layout.folder.iterdir()} == {"originals", DATABASES, "README.txt"}
    assert layout.readme.read_text() == "changed by a person"
    layout.database.touch()
    assert not is_backup(layout.folder)
    assert not is_backup(make_layout(tmp_path / "archive").folder)
    assert "asfound restore" in make_backup_folder(tmp_path / "other").readme.read_text()


def test_archive_without_a_database_is_told_by_its_originals(tmp_path: Path):
    layout = make_layout(tmp_path)
    assert not holds_originals(layout)

    put_original(layout, io.BytesIO(b"x"), ".jpg")

    assert holds_originals(layout)


def test_state_is_named_by_universal_time():
    assert state_name(LATIN) == "2025-10-18T09.42.11.sqlite"
    assert time_of_state("2025-10-18T09.42.11.sqlite") == LATIN
    assert time_of_state("notes.sqlite") is None


@given(st.datetimes(datetime(1970, 1, 1), datetime(2100, 1, 1)))
def test_name_of_a_state_says_its_second(at: datetime):
    at = at.replace(tzinfo=UTC, microsecond=0)

    assert time_of_state(state_name(at)) == at


def test_states_are_listed_latest_first_and_half_written_ones_apart(tmp_path: Path):
    folder = make_backup_folder(tmp_path).folder / DATABASES
    for name in ("2025-10-18T09.42.11.sqlite", "2026-01-01T00.00.00.sqlite", f"{TEMPORARY}2", f"{TEMPORARY}1"):
        (folder / name).touch()
    for name in ("2025-10-18T09.42.11.pages", "notes.sqlite"):
        (folder / name).touch()

    assert [path.name[:4] for path in list_states(tmp_path)] == ["2026", "2025"]
    assert [path.name for path in half_written(tmp_path)] == [f"{TEMPORARY}1", f"{TEMPORARY}2"]


@given(st.sets(st.datetimes(datetime(2025, 1, 1), datetime(2026, 6, 1)), max_size=40))
def test_latest_states_and_the_latest_of_each_month_are_kept(times: set[datetime]):
    """Against the rule said the other way round."""
    states = [Path(state_name(at.replace(tzinfo=UTC))) for at in times]
    names = sorted({path.name for path in states}, reverse=True)

    gone = {path.name for path in superseded(iter(states))}

    for place, name in enumerate(names):
        later_in_month = any(other[:7] == name[:7] for other in names[:place])
        assert (name in gone) is (place >= KEPT_LATEST and later_in_month)


def test_backup_as_one_file_holds_all_and_is_whole_or_absent(tmp_path: Path):
    (tmp_path / "db").write_bytes(b"database")
    (tmp_path / "photo").write_bytes(b"photo" * 100)
    target = tmp_path / "backup.zip"

    publish_zip(target, tmp_path / "db", "2025.sqlite", [(tmp_path / "photo", "originals/ab/ab.jpg")])

    with zipfile.ZipFile(target) as packed:
        assert packed.testzip() is None
        assert packed.read("originals/ab/ab.jpg") == b"photo" * 100
        assert packed.read(f"{DATABASES}/2025.sqlite") == b"database"
        assert "asfound restore" in packed.read("README.txt").decode()
        assert {one.compress_type for one in packed.infolist()} == {zipfile.ZIP_STORED}
    before = target.read_bytes()
    with pytest.raises(FileNotFoundError):
        publish_zip(target, tmp_path / "db", "x", [(tmp_path / "gone", "originals/x")])
    assert target.read_bytes() == before
    assert sorted(os.listdir(tmp_path)) == ["backup.zip", "db", "photo"]


def test_backup_says_of_which_archive_it_is_and_the_first_word_stands(tmp_path: Path):
    (tmp_path / "db").write_bytes(b"database")
    layout = make_backup_folder(tmp_path / "stick")
    assert identity_of_backup(layout.folder) == ""

    for identity in ("", "first", "second"):
        save_identity(layout, identity)
    publish_zip(tmp_path / "x.zip", tmp_path / "db", "2025.sqlite", [], "third")

    assert identity_of_backup(layout.folder) == "first"
    assert identity_of_backup(tmp_path / "x.zip") == "third"
    publish_zip(tmp_path / "x.zip", tmp_path / "db", "2025.sqlite", [])
    for none in ("x.zip", "db", "gone"):
        assert identity_of_backup(tmp_path / none) == ""


def test_states_in_one_file_are_listed_latest_first_and_none_in_another_file(tmp_path: Path):
    later, earlier = f"{DATABASES}/2026-01-01T00.00.00.sqlite", f"{DATABASES}/2025-10-18T09.42.11.sqlite"
    with zipfile.ZipFile(tmp_path / "backup.zip", "w") as packed:
        for name in (earlier, "README.txt", later, f"{DATABASES}/notes.sqlite"):
            packed.writestr(name, b"")
    (tmp_path / "text").write_text("words")

    assert states_in_file(tmp_path / "backup.zip") == [later, earlier]
    for other in ("text", "gone", "."):
        assert states_in_file(tmp_path / other) == []


def test_original_is_found_by_its_bytes_in_folders_zips_and_files_whatever_its_name(tmp_path: Path):
    (tmp_path / "card" / "DCIM").mkdir(parents=True)
    (tmp_path / "card" / "DCIM" / "other.txt").write_bytes(b"photo 1")
    (tmp_path / "card" / "same size").write_bytes(b"photo X")
    (tmp_path / "single").write_bytes(b"photo 3")
    with zipfile.ZipFile(tmp_path / "x.zip", "w") as packed:
        packed.writestr("a/b", b"photo 2")
    places = Elsewhere([tmp_path / "card", tmp_path / "x.zip", tmp_path / "single", tmp_path / "gone"])

    for data in (b"photo 1", b"photo 2", b"photo 3"):
        opener = places.find(compute_digest(data), 7)
        assert opener is not None
        with opener() as file:
            assert file.read() == data
    assert places.find(compute_digest(b"photo 4"), 7) is None
    assert places.find(compute_digest(b"photo 1"), 8) is None
    assert places.find(compute_digest(b"photo 3 longer"), 14) is None


def test_file_that_went_or_cannot_be_read_is_passed_over(tmp_path: Path):
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "x").write_bytes(b"photo")
    places = Elsewhere([tmp_path / "a", tmp_path / "b"])
    (tmp_path / "a" / "x").unlink()

    opener = places.find(compute_digest(b"photo"), 5)

    assert opener is not None
    (tmp_path / "b" / "x").unlink()
    assert places.find(compute_digest(b"photo"), 5) is None


def test_torn_zip_is_passed_over(tmp_path: Path):
    with zipfile.ZipFile(tmp_path / "x.zip", "w") as packed:
        packed.writestr("a", b"photo")
    data = bytearray((tmp_path / "x.zip").read_bytes())
    data[data.index(b"photo")] ^= 1
    (tmp_path / "x.zip").write_bytes(bytes(data))

    assert Elsewhere([tmp_path / "x.zip"]).find(compute_digest(b"photo"), 5) is None
