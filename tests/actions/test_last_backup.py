"""What of the work is in a backup: told by what was written, so that no clock makes work seem safe."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from asfound.actions.archive import Archive, open_archive
from asfound.actions.backup import back_up
from asfound.actions.last_backup import DAYS_WORK, BackupState, backup_state, last_backup
from asfound.actions.undo import undo
from asfound.store import jobs
from tests.small_archive import now, small_archive
from tests.small_changes import come_off


@pytest.fixture
def archive(tmp_path: Path):
    with small_archive(tmp_path / "archive") as opened:
        opened.now = now
        yield opened


def later(archive: Archive, hours: float) -> None:
    archive.now = lambda: now() + timedelta(hours=hours)


def test_photos_alone_are_work_that_wants_a_backup(archive: Archive):
    assert backup_state(archive) == BackupState(None, days=1, is_due=False)


def test_backup_is_due_after_a_days_work_and_on_the_next_day(archive: Archive):
    back_up(archive, archive.folder.parent / "stick")
    assert backup_state(archive).days == 0

    come_off(archive, "112")
    assert (backup_state(archive).days, backup_state(archive).is_due) == (1, False)
    later(archive, DAYS_WORK / timedelta(hours=1))
    assert backup_state(archive).is_due
    later(archive, 12)
    assert backup_state(archive).is_due


def test_what_was_taken_back_is_work_too(archive: Archive):
    come_off(archive, "112")
    back_up(archive, archive.folder.parent / "stick")

    undo(archive)

    assert backup_state(archive).days == 1


def test_clock_that_was_set_back_makes_no_work_safe(archive: Archive):
    back_up(archive, archive.folder.parent / "stick")

    later(archive, -24 * 400)
    come_off(archive, "112")

    assert (backup_state(archive).days, backup_state(archive).is_due) == (1, False)
    later(archive, 0)
    assert backup_state(archive).is_due


@pytest.mark.parametrize("kept", ["", "no json", "[]", '["2025-10-20T14:00:00+02:00"]', "17"])
def test_note_that_cannot_be_read_is_no_backup(archive: Archive, kept: str):
    jobs.save_setting(archive.store, "last backup", kept)

    assert last_backup(archive) is None


def test_restored_archive_asks_for_a_backup_of_its_own(archive: Archive, tmp_path: Path):
    from asfound.actions.backup import restore

    back_up(archive, tmp_path / "stick")
    restore(tmp_path / "stick", tmp_path / "new")

    with open_archive(tmp_path / "new", now=now) as brought_back:
        assert backup_state(brought_back).days == 1
