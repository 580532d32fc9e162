"""What systems and disks do differently is dealt with in one module, and taken away here piece by piece."""

from __future__ import annotations

import errno
import os
import signal
import stat
import string
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as some

from asfound import system
from tests.faults.lacking import like_memory_card, like_windows


@pytest.fixture
def windows(monkeypatch: pytest.MonkeyPatch) -> None:
    like_windows(monkeypatch)


def test_folder_that_cannot_be_opened_or_synced_is_taken_as_it_is(tmp_path: Path):
    for lacking in (like_windows, like_memory_card):
        with pytest.MonkeyPatch.context() as patch:
            lacking(patch)
            system.sync_folder(tmp_path)


def test_disk_that_fails_is_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    def fail(_: int) -> None:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(os, "fsync", fail)
    with pytest.raises(OSError, match="Input/output"):
        system.sync_folder(tmp_path)
    monkeypatch.undo()
    with pytest.raises(FileNotFoundError):
        system.sync_folder(tmp_path / "gone")


@pytest.mark.usefixtures("windows")
def test_read_only_file_is_replaced_and_removed(tmp_path: Path):
    """As where a damaged original is healed."""
    for name in ("old", "new"):
        (tmp_path / name).write_text(name)
    (tmp_path / "old").chmod(system.READ_ONLY)

    system.replace(tmp_path / "new", tmp_path / "old")
    assert (tmp_path / "old").read_text() == "new"

    (tmp_path / "old").chmod(system.READ_ONLY)
    system.remove(tmp_path / "old")
    system.remove(tmp_path / "old")
    assert list(tmp_path.iterdir()) == []


def test_file_that_another_program_holds_is_tried_again_and_then_told_of(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    tries: list[int] = []
    real = os.replace

    def held(source: Path, target: Path) -> None:
        tries.append(1)
        if len(tries) < 3:
            raise PermissionError(errno.EACCES, "in use")
        real(source, target)

    (tmp_path / "new").write_text("new")
    monkeypatch.setattr(os, "replace", held)
    monkeypatch.setattr(system, "WAITS_S", (0.0,) * 5)
    with pytest.raises(PermissionError):  # where no file is held by being open it is no use to wait
        system.replace(tmp_path / "new", tmp_path / "old")
    monkeypatch.setattr(system, "HOLDS_FILES", True)
    system.replace(tmp_path / "new", tmp_path / "old")
    assert (tmp_path / "old").read_text() == "new"

    tries[:] = [0] * -100
    monkeypatch.setattr(os, "replace", lambda *_: (_ for _ in ()).throw(PermissionError("in use")))
    with pytest.raises(PermissionError):
        system.replace(tmp_path / "old", tmp_path / "new")


@pytest.mark.usefixtures("windows")
def test_written_file_is_synced_where_that_needs_one_open_for_writing(tmp_path: Path):
    (tmp_path / "x").write_text("x")

    with open(tmp_path / "x", "rb") as file, pytest.raises(OSError, match="Bad file"):
        os.fsync(file.fileno())
    system.sync_file(tmp_path / "x")


@pytest.mark.usefixtures("windows")
def test_limits_signals_and_terminals_that_are_not_there_stop_nothing():
    system.lower_priority(1)
    system.limit_memory(1 << 40)
    system.limit_cpu(1_000_000)
    system.start_tracker()
    assert system.session_number() == os.getppid()
    assert system.keep_keys_unseen() is None
    for code in (None, 0, 1, -9, 9):
        assert not system.ran_out_of_time(code)
        assert not system.was_killed(code)


def test_libraries_write_nowhere_and_the_terminal_is_still_written_to(capfd: pytest.CaptureFixture[str]):
    put_back = system.silence_libraries()
    os.write(2, b"a decoder speaks\n")
    assert sys.__stderr__ is not None
    sys.__stderr__.write("the screens\n")
    put_back()
    os.write(2, b"after\n")

    assert capfd.readouterr().err == "the screens\nafter\n"


def test_how_a_process_ended_is_told_apart():
    assert system.was_killed(-signal.SIGKILL)
    assert system.ran_out_of_time(-signal.SIGXCPU)
    assert not system.was_killed(-signal.SIGSEGV)
    assert not system.ran_out_of_time(0)


def test_disk_without_permissions_keeps_what_was_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    (tmp_path / "x").write_text("x")
    like_memory_card(monkeypatch)

    system.make_read_only(tmp_path / "x")

    assert (tmp_path / "x").stat().st_mode & stat.S_IWUSR


NOT_IN_NAMES = set('<>:"/\\|?*') | set(map(chr, range(32)))
"""And the names below: Microsoft, "Naming Files, Paths, and Namespaces"; from memory."""
DEVICES = {"con", "prn", "aux", "nul", *(f"{one}{n}" for one in ("com", "lpt") for n in range(1, 10))}


@given(some.text() | some.sampled_from(sorted(DEVICES)) | some.text(string.ascii_letters + ". :\\", max_size=12))
def test_name_of_any_words_is_one_that_every_system_takes(words: str):
    name = system.file_name(words)

    assert not set(name) & NOT_IN_NAMES
    assert not name.endswith((".", " "))
    assert name.partition(".")[0] not in DEVICES
    assert len(name) <= 81


@pytest.mark.parametrize(
    ("words", "name"), [("CON", "con-"), ("Sallow, diesel out.", "sallow-diesel-out"), ("...", ""), ("LPT1", "lpt1-")]
)
def test_names_of_words(words: str, name: str):
    assert system.file_name(words) == name


def test_place_in_a_folder_is_known_by_whole_parts(monkeypatch: pytest.MonkeyPatch):
    assert system.is_below(b"/a/b", b"/a")
    assert system.is_below(b"/a", b"/a")
    assert not system.is_below(b"/ab", b"/a")
    assert not system.is_below(b"/a", b"/a/b")
    assert system.is_below(b"/a", b"/")
    import ntpath

    monkeypatch.setattr(system.os, "sep", "\\")
    monkeypatch.setattr(system.os.path, "normcase", ntpath.normcase)
    assert system.is_below(b"C:\\Users\\Photos\\1.jpg", b"c:\\users\\photos")
    assert not system.is_below(b"D:\\Users\\Photos", b"C:\\Users")
