"""Backups from the screens: one key, asked where once, and asked for after a day's work."""

from __future__ import annotations

import shutil
from datetime import timedelta
from pathlib import Path

import pytest

from asfound.actions.archive import Archive
from asfound.actions.backup import back_up
from asfound.actions.check import check_archive
from asfound.archive.backups import list_states
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.rows import RowList
from tests.small_archive import now
from tests.small_changes import come_off
from tests.tui.screens_of import Running, press, running, said, until


def row_of(run: Running, name: str = "backup") -> tuple[int, str]:
    """Where a row stands on the first screen, and what it says."""
    rows = run[0].screen.query_one(RowList).rows
    return next((place, row.cells[2]) for place, row in enumerate(rows) if row.key == name)


async def typed(run: Running, words: str) -> None:
    run[0].screen.query_one(AskLine).field.value = words
    await press(run, "enter")


async def finished(run: Running) -> None:
    await until(run[1], lambda: not run[0].background.goes_on)
    await press(run)


async def test_where_to_is_typed_once_and_then_it_is_one_key(archive: Archive, tmp_path: Path) -> None:
    stick = tmp_path / "stick"
    async with running(archive) as run:
        assert row_of(run)[1] == "none yet; c makes one, on a stick or another disk"
        await press(run, "c")
        await typed(run, str(stick))
        await finished(run)
        assert "6 originals copied, 0 were there" in said(run[0])
        assert row_of(run)[1].startswith("last 20 Oct 2025 14:00, ")

        come_off(archive, "112")
        await press(run, "c")
        await finished(run)

        assert "no originals copied, 6 were there" in said(run[0])
    assert len(list_states(stick)) == 2
    assert check_archive(stick, is_full=True).is_sound


async def test_a_stick_that_is_not_in_is_asked_for_and_never_made_up(archive: Archive, tmp_path: Path) -> None:
    """The folder in which sticks show up is there without the stick: a backup in it would lie on the same disk."""
    stick = tmp_path / "stick"
    back_up(archive, stick)
    shutil.move(stick, tmp_path / "pocket")
    async with running(archive) as run:
        await press(run, "c")
        asked = run[0].screen.query_one(AskLine)
        assert (asked.is_open, asked.field.value) == (True, str(stick))
        assert "Plug it in" in str(asked.foot.render())
        await press(run, "enter")
        assert asked.is_open
        assert not stick.exists()

        shutil.move(tmp_path / "pocket", stick)
        await press(run, "enter")
        await finished(run)

    assert len(list_states(stick)) == 2


async def test_a_stick_with_other_things_on_it_gets_a_folder_of_its_own(archive: Archive, tmp_path: Path) -> None:
    (tmp_path / "stick").mkdir()
    (tmp_path / "stick" / "invoice.txt").write_text("paid")
    async with running(archive) as run:
        await press(run, "C")
        await typed(run, str(tmp_path / "stick"))
        await finished(run)

    assert list_states(tmp_path / "stick" / "asfound-backup")
    assert sorted(path.name for path in (tmp_path / "stick").iterdir()) == ["asfound-backup", "invoice.txt"]


async def test_a_place_that_cannot_be_is_refused_in_words(archive: Archive, tmp_path: Path) -> None:
    async with running(archive) as run:
        await press(run, "c")
        await typed(run, str(tmp_path / "no" / "stick"))
        asked = run[0].screen.query_one(AskLine)
        assert asked.is_open
        assert "is not there" in str(asked.foot.render())
        await typed(run, str(archive.folder / "inside"))
        await finished(run)
        assert "in the archive itself" in said(run[0])


@pytest.mark.parametrize(("hours", "place"), [(1, "below"), (7, "second"), (20, "second")])
async def test_a_backup_is_asked_for_after_a_days_work(
    archive: Archive, tmp_path: Path, hours: float, place: str
) -> None:
    back_up(archive, tmp_path / "stick")
    come_off(archive, "112")
    archive.now = lambda: now() + timedelta(hours=hours)
    async with running(archive) as run:
        where, words = row_of(run)
        assert ("second" if where == 1 else "below") == place
        assert ("work of 1 day is in no backup; c makes one" in words) == (place == "second")


async def test_handing_over_tells_of_work_that_no_backup_holds(archive: Archive) -> None:
    async with running(archive) as run:
        await press(run, "e", *"off")
        await press(run, "enter")
        assert "Work of 1 day is in no backup: c makes one." in said(run[0])
