"""Dumps that are stopped anywhere: by a kill, by a failing disk, by the person. Nothing acknowledged is lost, nothing
half written stays, and adding again goes on."""

from __future__ import annotations

import errno
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path

import pytest

from asfound.actions.add import DumpReport, add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.archive.check import check_originals
from asfound.core.fixity.findings import FindingKind
from asfound.errors import ArchiveTrouble
from asfound.store import jobs, pictures
from tests.media import samples

ROOT = Path(__file__).parents[2]
PHOTOS = 24


@pytest.fixture(scope="module")
def card(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A phone's folder with photos, none like another."""
    folder = tmp_path_factory.mktemp("card")
    for number in range(PHOTOS):
        exif = samples.exif_bytes(time=f"2025:10:18 09:{number:02d}:00", model="F1")
        (folder / f"P1_{number:04d}.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, number), exif=exif))
    return folder


def start(folder: Path) -> Archive:
    archive = open_archive(folder, create=True)
    if not jobs.list_jobs(archive.store):
        jobs.add_job(archive.store, "Sallow", "Europe/Amsterdam", archive.now())
    return archive


def assert_sound(folder: Path, *, orphans_allowed: bool = True) -> set[str]:
    """Every row has its original, whole; gives the files that have rows."""
    with open_archive(folder) as archive:
        digests = [digest for digest, _, _ in pictures.list_originals(archive.store)]
        findings = list(check_originals(archive.layout, digests))
        if orphans_allowed:
            findings = [finding for finding in findings if finding.kind is not FindingKind.ORPHAN]
        assert findings == []
        return {picture.file for picture in pictures.list_pictures(archive.store, archive.job.job_id)}


def assert_converges(folder: Path, card: Path) -> None:
    """Adding again brings in what is missing, and a third time nothing."""
    with start(folder) as archive:
        first = add_dump(archive, [card], workers=0)
        second = add_dump(archive, [card], workers=0)
    assert len(first.added) + len(first.known) == PHOTOS
    assert (len(second.added), len(second.known), second.refused) == (0, PHOTOS, [])
    assert len(assert_sound(folder, orphans_allowed=False) - {""}) == PHOTOS


@pytest.mark.parametrize("seed", range(4))
def test_killed_dump_loses_nothing_that_has_a_row(seed: int, tmp_path: Path, card: Path):
    """A real process, killed at a random moment."""
    folder, chance = tmp_path / "archive", random.Random(seed)
    with subprocess.Popen(
        [sys.executable, "-m", "tests.faults.dump_child", str(folder), str(card)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}"},
        stdout=subprocess.PIPE,
    ) as child:
        assert child.stdout is not None
        assert child.stdout.readline() == b"ready\n"
        time.sleep(chance.uniform(0.0, 0.35))
        child.kill()

    assert_sound(folder)
    for draft in (folder / "originals").glob(".part-*"):
        os.utime(draft, (0, 0))
    assert_converges(folder, card)


def failing_at(number: int, call: Callable[..., object], error: BaseException) -> Callable[..., object]:
    """A system call that fails the nth time."""
    count = 0

    def fail(*args: object, **options: object) -> object:
        nonlocal count
        count += 1
        if count == number:
            raise error
        return call(*args, **options)

    return fail


@pytest.mark.parametrize("call", ["fsync", "replace", "chmod"])
@pytest.mark.parametrize("number", [1, 2, 3, 4, 5, 9, 20])
def test_dump_stopped_at_the_nth_system_call(
    call: str, number: int, tmp_path: Path, card: Path, monkeypatch: pytest.MonkeyPatch
):
    folder = tmp_path / "archive"
    with start(folder) as archive:
        with monkeypatch.context() as patch:
            full = OSError(errno.ENOSPC, "No space left on device")
            patch.setattr(f"asfound.archive.atomic.os.{call}", failing_at(number, getattr(os, call), full))
            # The twentieth rename is a preview's, which can be made again.
            expected = (
                nullcontext() if (call, number) == ("replace", 20) else pytest.raises(ArchiveTrouble, match="No space")
            )
            with expected:
                add_dump(archive, [card], workers=0)

    acknowledged = assert_sound(folder)
    assert not list((folder / "originals").rglob(".part-*"))
    assert_converges(folder, card)
    assert acknowledged <= assert_sound(folder)


def test_interrupt_writes_down_what_is_done_and_goes_on_later(tmp_path: Path, card: Path):
    folder = tmp_path / "archive"

    def interrupt(file: str, report: DumpReport) -> None:
        if file == "P1_0013.jpg" and not report.stopped:
            raise KeyboardInterrupt

    with start(folder) as archive:
        report = add_dump(archive, [card], workers=0, watch=interrupt)

    assert report.stopped
    assert 10 <= len(report.added) <= 13
    assert {each.file for each in report.added} == assert_sound(folder)
    assert_converges(folder, card)


def test_asking_to_stop_ends_between_two_files(tmp_path: Path, card: Path):
    folder, seen = tmp_path / "archive", []
    with start(folder) as archive:
        report = add_dump(
            archive, [card], workers=0, stopped=lambda: len(seen) >= 5, watch=lambda file, _: seen.append(file)
        )

    assert report.stopped
    assert [each.file for each in report.added] == [f"P1_{number:04d}.jpg" for number in range(5)]
    assert_converges(folder, card)


def test_two_dumps_at_once_keep_each_picture_once(tmp_path: Path, card: Path):
    folder = tmp_path / "archive"
    start(folder).close()
    children = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.faults.dump_child", str(folder), str(card)],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": f"{ROOT / 'src'}{os.pathsep}{ROOT}"},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        for _ in range(2)
    ]
    for child in children:
        assert child.wait(60) == 0

    assert_sound(folder)
    assert_converges(folder, card)
