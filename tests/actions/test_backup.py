"""Backups: made while the archive is in use, only what is new, whole or not there; and brought back as they were."""

from __future__ import annotations

import os
import sqlite3
import zipfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from asfound.actions import backup
from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.check import check_archive
from asfound.actions.last_backup import last_backup
from asfound.actions.tag import TagWords, add_tag, list_tags
from asfound.archive import backups
from asfound.archive.layout import Layout
from asfound.errors import ArchiveTrouble, Misused, NoArchive
from asfound.store.jobs import add_job
from tests.faults.damaging import flip, original, pages_of, small_archive
from tests.media import samples

START = datetime(2025, 10, 18, 12, 0, tzinfo=UTC)


class Clock:
    """One minute later at each look."""

    def __init__(self) -> None:
        self.at = START

    def __call__(self) -> datetime:
        self.at += timedelta(minutes=1)
        return self.at


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return small_archive(tmp_path) / "archive"


@pytest.fixture
def archive(folder: Path):
    with open_archive(folder, now=Clock()) as opened:
        yield opened


def content(archive: Archive) -> list[list[tuple[object, ...]]]:
    tables = ("tag", "tag_end", "pin", "event", "picture", "original", "arrival")
    return [[tuple(row) for row in archive.store.rows(f"SELECT * FROM {table}")] for table in tables]


@pytest.mark.parametrize("name", ["stick", "stick.zip"])
def test_backup_is_brought_back_as_it_was(archive: Archive, tmp_path: Path, name: str):
    report = backup.back_up(archive, tmp_path / name)
    assert (report.copied, report.left_out) == (4, [])
    assert check_archive(tmp_path / name, is_full=True).is_sound
    before = content(archive)

    backup.restore(tmp_path / name, tmp_path / "new")

    assert check_archive(tmp_path / "new", is_full=True).is_sound
    with open_archive(tmp_path / "new") as new:
        assert content(new) == before


def test_second_backup_copies_only_what_is_new_and_keeps_the_state_before(archive: Archive, tmp_path: Path):
    stick = tmp_path / "stick"
    backup.back_up(archive, stick)
    add_tag(archive, "18", TagWords())
    (tmp_path / "more").mkdir()
    (tmp_path / "more" / "P1_0009.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, 9)))
    add_dump(archive, [tmp_path / "more"], workers=0)

    report = backup.back_up(archive, stick)

    assert (report.copied, report.known) == (1, 4)
    states = backups.list_states(stick)
    assert len(states) == 2
    backup.restore(stick, tmp_path / "then", state=states[-1].stem)
    with open_archive(tmp_path / "then") as then:
        assert [tag.number for tag in list_tags(then)] == ["17", "12"]


def test_when_the_last_backup_was_is_known(archive: Archive, tmp_path: Path):
    assert last_backup(archive) is None

    backup.back_up(archive, tmp_path / "stick")

    last = last_backup(archive)
    assert last is not None
    assert (last.at > START, last.place) == (True, str(tmp_path / "stick"))


def test_backup_that_was_stopped_is_known_as_one_and_the_next_goes_on(
    archive: Archive, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    stick = tmp_path / "stick"

    def stop(what: str, done: int, total: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    monkeypatch.setattr(Path, "unlink", lambda self, missing_ok=False: None)  # as a kill leaves it
    with pytest.raises(KeyboardInterrupt):
        backup.back_up(archive, stick, progress=stop)
    monkeypatch.undo()

    report = check_archive(stick)
    assert any("left by a backup that was stopped" in stray for stray in report.strays)
    assert "never finished" in report.damaged[0].what
    with pytest.raises(Misused, match="never finished"):
        backup.restore(stick, tmp_path / "new")
    assert backup.back_up(archive, stick).known == 2
    assert check_archive(stick, is_full=True).is_sound


def test_restore_that_was_stopped_goes_on(archive: Archive, tmp_path: Path):
    backup.back_up(archive, tmp_path / "stick")

    def stop(what: str, done: int, total: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        backup.restore(tmp_path / "stick", tmp_path / "new", progress=stop)
    report = backup.restore(tmp_path / "stick", tmp_path / "new")

    assert (report.known, report.copied) == (2, 2)
    assert check_archive(tmp_path / "new", is_full=True).is_sound


def test_archive_is_never_written_over(archive: Archive, tmp_path: Path):
    backup.back_up(archive, tmp_path / "stick")
    before = archive.layout.database.read_bytes()

    with pytest.raises(Misused, match="not written over"):
        backup.restore(tmp_path / "stick", archive.folder)
    assert archive.layout.database.read_bytes() == before


@pytest.mark.parametrize("place", ["archive", "archive/inside", "archive/originals"])
def test_backup_into_the_archive_itself_is_refused(archive: Archive, place: str):
    with pytest.raises(Misused, match="another disk"):
        backup.back_up(archive, archive.folder.parent / place)


@pytest.fixture
def other(tmp_path: Path):
    """An archive of another machine."""
    with open_archive(tmp_path / "other", create=True, now=Clock()) as opened:
        add_job(opened.store, "Tern", "Europe/Amsterdam", START)
        yield opened


def all_in(place: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in sorted([place, *place.rglob("*")]) if path.is_file()}


@pytest.mark.parametrize("has_identity", [True, False])
@pytest.mark.parametrize("name", ["stick", "stick.zip"])
def test_backup_of_another_archive_is_never_written_over(
    archive: Archive, other: Archive, tmp_path: Path, name: str, has_identity: bool
):
    place = tmp_path / name
    backup.back_up(archive, place, make_identity=lambda: "ours" * has_identity)
    before = all_in(place)

    with pytest.raises(Misused, match="name another folder or file"):
        backup.back_up(other, place)

    assert all_in(place) == before
    assert last_backup(other) is None
    backup.back_up(archive, place)


def test_file_tells_which_state_it_no_longer_holds_and_a_folder_keeps_it(archive: Archive, tmp_path: Path):
    for name, is_replaced in (("stick", False), ("stick.zip", True)):
        first = backup.back_up(archive, tmp_path / name)
        second = backup.back_up(archive, tmp_path / name)

        assert first.replaced == ""
        assert second.replaced == first.state * is_replaced
        assert second.state != first.state


@pytest.mark.parametrize("name", ["stick", "stick.zip"])
def test_archive_brought_back_goes_on_in_its_own_backup(archive: Archive, tmp_path: Path, name: str):
    place = tmp_path / name
    backup.back_up(archive, place)
    backup.restore(place, tmp_path / "new")

    with open_archive(tmp_path / "new", now=Clock()) as new:
        assert backup.back_up(new, place).left_out == []


def test_two_archives_begun_in_one_second_are_told_apart(archive: Archive, other: Archive, tmp_path: Path):
    archive.store.run("UPDATE job SET created_at = ?", START.isoformat())
    backup.back_up(archive, tmp_path / "stick.zip")

    with pytest.raises(Misused, match="another archive"):
        backup.back_up(other, tmp_path / "stick.zip")


def test_backup_of_nobody_knows_which_archive_is_left_alone(archive: Archive, tmp_path: Path):
    stick = tmp_path / "stick"
    backup.back_up(archive, stick)
    (stick / backups.IDENTITY).unlink()
    (state,) = backups.list_states(stick)
    state.write_bytes(b"torn")

    with pytest.raises(Misused, match="nothing in it says that it is of this archive"):
        backup.back_up(archive, stick)


@pytest.mark.parametrize("what", ["zip of other things", "torn zip", "text", "empty"])
def test_file_that_is_no_backup_is_never_written_over(archive: Archive, tmp_path: Path, what: str):
    target = tmp_path / "holiday.zip"
    with zipfile.ZipFile(target, "w") as packed:
        packed.writestr("databases/holiday.sqlite", b"of another program")
    whole = target.read_bytes()
    target.write_bytes({"torn zip": whole[:50], "text": b"words", "empty": b""}.get(what, whole))
    before = target.read_bytes()

    with pytest.raises(Misused, match=r"holiday.zip is there and is no backup; name another file\."):
        backup.back_up(archive, target)

    assert target.read_bytes() == before
    assert last_backup(archive) is None
    assert sorted(path.name for path in tmp_path.iterdir()) == ["archive", "card", "holiday.zip"]


def test_folder_named_like_a_zip_is_no_backup(archive: Archive, tmp_path: Path):
    (tmp_path / "holiday.zip").mkdir()

    with pytest.raises(Misused, match="is no backup"):
        backup.back_up(archive, tmp_path / "holiday.zip")


def test_damaged_original_is_named_and_the_whole_one_in_the_backup_stays(archive: Archive, tmp_path: Path):
    stick = tmp_path / "stick"
    backup.back_up(archive, stick)
    path = original(archive, "P1_0000.jpg")
    flip(path, 99)
    fresh = backup.back_up(archive, tmp_path / "other")
    again = backup.back_up(archive, stick)

    assert fresh.left_out == [("P1_0000.jpg", "it is damaged here")]
    assert again.left_out == []
    assert check_archive(stick, is_full=True).is_sound
    lost = check_archive(tmp_path / "other").damaged
    assert [one.pictures for one in lost] == [((1, "P1_0000.jpg"),)]


def test_damaged_database_never_becomes_a_backup(folder: Path, tmp_path: Path):
    with open_archive(folder, now=Clock()) as archive:
        backup.back_up(archive, tmp_path / "stick")
    database = Layout(folder).database
    flip(database, pages_of(database, "tag")[0] + 4000)

    with open_archive(folder, now=Clock()) as archive, pytest.raises(ArchiveTrouble, match="asfound repair"):
        backup.back_up(archive, tmp_path / "stick")

    assert len(backups.list_states(tmp_path / "stick")) == 1


def test_flipped_byte_in_a_backup_is_found(archive: Archive, tmp_path: Path):
    backup.back_up(archive, tmp_path / "stick")
    backup.back_up(archive, tmp_path / "stick.zip")
    (state,) = backups.list_states(tmp_path / "stick")
    flip(state, 5000)
    flip(tmp_path / "stick.zip", (tmp_path / "stick.zip").stat().st_size // 2)

    for place in ("stick", "stick.zip"):
        assert not check_archive(tmp_path / place, is_full=True).is_sound


@pytest.mark.parametrize("at", [20, 5000])
def test_damaged_latest_state_is_refused_and_the_latest_whole_one_named(archive: Archive, tmp_path: Path, at: int):
    stick = tmp_path / "stick"
    for _ in range(3):
        backup.back_up(archive, stick)
    third, second, first = backups.list_states(stick)
    flip(third, at)

    with pytest.raises(ArchiveTrouble, match=f"{third.stem} is damaged.*bring that back with --state {second.stem}$"):
        backup.restore(stick, tmp_path / "new")
    flip(second, at)
    with pytest.raises(ArchiveTrouble, match=f"--state {first.stem}$"):
        backup.restore(stick, tmp_path / "new", state=second.stem)

    assert not (tmp_path / "new").exists()
    backup.restore(stick, tmp_path / "new", state=first.stem)
    assert check_archive(tmp_path / "new", is_full=True).is_sound


def test_backup_without_a_whole_state_is_brought_back_only_when_it_is_named(archive: Archive, tmp_path: Path):
    stick = tmp_path / "stick"
    backup.back_up(archive, stick)
    (state,) = backups.list_states(stick)
    flip(state, 5000)

    with pytest.raises(ArchiveTrouble, match=f"no state .* is whole; .*--state {state.stem}"):
        backup.restore(stick, tmp_path / "new")
    backup.restore(stick, tmp_path / "new", state=state.stem)

    assert Layout(tmp_path / "new").database.exists()


def test_damaged_record_in_a_zip_is_said_so(archive: Archive, tmp_path: Path):
    place = tmp_path / "stick.zip"
    backup.back_up(archive, place)
    flip(place, place.read_bytes().index(b"SQLite format 3") + 5000)

    with pytest.raises(ArchiveTrouble, match="the record in it is damaged"):
        backup.restore(place, tmp_path / "new")
    assert not (tmp_path / "new").exists()


def test_what_is_written_meanwhile_is_no_trouble(archive: Archive, tmp_path: Path):
    def write(what: str, done: int, total: int) -> None:
        with archive.reopen() as other:
            add_tag(other, str(200 + done), TagWords())

    backup.back_up(archive, tmp_path / "stick", progress=write)

    (state,) = backups.list_states(tmp_path / "stick")
    with sqlite3.connect(state) as copy:
        assert copy.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert check_archive(tmp_path / "stick", is_full=True).is_sound


def test_old_states_are_thinned_out_by_month():
    names = [Path(f"2025-{month:02d}-{day:02d}T12.00.00.sqlite") for month in (8, 9, 10) for day in range(1, 9)]

    gone = set(backups.superseded(names))

    kept = sorted(path.name[:10] for path in names if path not in gone)
    assert kept[:2] == ["2025-08-08", "2025-09-07"]
    assert len(kept) == backups.KEPT_LATEST + 1


def test_no_backup_is_said_so(tmp_path: Path):
    (tmp_path / "empty").mkdir()
    with pytest.raises(NoArchive, match="no backup here"):
        backup.restore(tmp_path / "empty", tmp_path / "new")


@pytest.mark.skipif(os.geteuid() == 0, reason="whoever runs this may write anything")
def test_place_that_cannot_be_written_is_named(archive: Archive, tmp_path: Path):
    (tmp_path / "locked").mkdir(mode=0o500)
    with pytest.raises(ArchiveTrouble, match="cannot be written"):
        backup.back_up(archive, tmp_path / "locked" / "stick")
