"""The main job on a system or disk that lacks what Linux has, with what it lacks taken away."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path

import pytest

from asfound.actions.add import add_dump
from asfound.actions.archive import open_archive
from asfound.actions.backup import back_up, restore
from asfound.actions.check import check_archive
from asfound.actions.repair import repair
from asfound.actions.tag import list_tags
from asfound.actions.undo import redo, undo
from asfound.system import READ_ONLY
from tests.faults.damaging import flip, original, pages_of, small_archive
from tests.faults.lacking import like_memory_card, like_windows
from tests.media import samples
from tests.small_changes import come_off

Lacking = Callable[[], AbstractContextManager[None]]
real_chmod = os.chmod
LONGEST_PATH = 260
"""Of a path on Windows without a setting of the system (MAX_PATH); from memory."""


@pytest.fixture(params=[like_windows, like_memory_card], ids=["windows", "memory card"])
def lacking(request: pytest.FixtureRequest) -> Lacking:
    """A stretch of work on such a system; what damages the archive happens outside of it."""

    @contextmanager
    def on_it() -> Iterator[None]:
        with pytest.MonkeyPatch.context() as patch:
            request.param(patch)
            yield

    return on_it


def test_job_is_done_from_dump_to_backup_and_back(tmp_path: Path, lacking: Lacking):
    folder, card = small_archive(tmp_path) / "archive", tmp_path / "card2"
    card.mkdir()
    (card / "P1_0099.jpg").write_bytes(samples.jpeg(samples.scene(240, 180, 99)))

    with lacking(), open_archive(folder) as archive:
        report = add_dump(archive, [card], workers=0)
        assert [one.file for one in report.added] == ["P1_0099.jpg"]
        assert add_dump(archive, [card], workers=0).known
        come_off(archive, "17")
        assert undo(archive) == redo(archive)
        for place in ("stick", "stick.zip", "stick.zip"):
            back_up(archive, tmp_path / place)
        with pytest.MonkeyPatch.context() as as_root:
            as_root.setattr(os, "chmod", real_chmod)
            flip(original(archive, "P1_0099.jpg"), 2000)
            original(archive, "P1_0099.jpg").chmod(READ_ONLY)
        assert not check_archive(folder, is_full=True).is_sound
        assert [one.file for one in add_dump(archive, [card], workers=0).known] == ["P1_0099.jpg"]
        assert check_archive(folder, is_full=True).is_sound
    for place in ("stick", "stick.zip"):
        with lacking():
            assert check_archive(tmp_path / place, is_full=True).is_sound
            restore(tmp_path / place, tmp_path / f"from {place}")
            with open_archive(tmp_path / f"from {place}") as brought_back:
                assert [tag.number for tag in list_tags(brought_back)] == ["17", "12"]


def test_damaged_database_is_repaired(tmp_path: Path, lacking: Lacking):
    folder = small_archive(tmp_path) / "archive"
    with open_archive(folder) as archive:
        back_up(archive, tmp_path / "stick")
    flip(folder / "asfound.sqlite", pages_of(folder / "asfound.sqlite", "pin")[0] + 3000)

    with lacking():
        repair(folder, [tmp_path / "stick"])

    assert check_archive(folder, is_full=True).is_sound


def test_no_path_in_an_archive_is_too_long_for_windows(tmp_path: Path):
    """Under the usual place for data there, C:\\Users\\NAME\\AppData\\Local\\asfound\\archive, some 60 characters."""
    folder = small_archive(tmp_path) / "archive"
    with open_archive(folder) as archive:
        back_up(archive, tmp_path / "stick")

    longest = max(
        len(str(path.relative_to(place))) for place in (folder, tmp_path / "stick") for path in place.rglob("*")
    )

    assert longest + len("\\\\?\\") < LONGEST_PATH - 100


def test_names_on_the_card_that_differ_only_in_case_are_two_photos(tmp_path: Path):
    folder = small_archive(tmp_path) / "archive"
    for number, name in enumerate(("a.JPG", "A.jpg", "CON.jpg", "aux.jpg", "dot..jpg")):
        (tmp_path / name).write_bytes(samples.jpeg(samples.scene(96, 72, 60 + number)))
    with open_archive(folder) as archive:
        report = add_dump(archive, sorted(tmp_path.glob("*.[jJ]*")), workers=0)
        assert sorted(one.file for one in report.added) == ["A.jpg", "CON.jpg", "a.JPG", "aux.jpg", "dot..jpg"]
        names = {original(archive, one.file).name for one in report.added}
    assert len(names) == 5
    assert all(name.partition(".")[0].isalnum() and len(name.partition(".")[0]) == 64 for name in names)


@pytest.mark.parametrize("coding", ["cp1252", "cp437", "ascii"])
@pytest.mark.parametrize(
    "words", [("17",), ("gaps",), ("fit",), ("tags",), ("resume",), ("--help",), ("log", "--json")]
)
def test_console_of_few_characters_gets_every_answer(tmp_path: Path, coding: str, words: tuple[str, ...]):
    folder = small_archive(tmp_path) / "archive"
    with open_archive(folder) as archive:
        come_off(archive, "17")
    environ = {**os.environ, "PYTHONIOENCODING": coding, "PYTHONUTF8": "0"}

    done = subprocess.run(
        [sys.executable, "-m", "asfound", "--archive", str(folder), *words], env=environ, capture_output=True
    )

    assert done.returncode in (0, 1), done.stderr
    assert b"Traceback" not in done.stderr
    assert done.stdout.decode(coding).strip()
