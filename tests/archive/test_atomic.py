"""A file is wholly there or not at all, at whichever call of the system the writing stops."""

from __future__ import annotations

import errno
import os
import stat
import time
from pathlib import Path

import pytest

from asfound.archive import atomic
from asfound.archive.atomic import TEMPORARY, draft_in, make_folder, save_bytes, sweep_drafts
from asfound.system import READ_ONLY, sync_folder


class Stopped(BaseException):
    """The power fails: nothing catches it."""


CALLS = ("fsync", "replace", "chmod")


def record(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The calls that matter, in turn."""
    calls: list[str] = []
    for name in CALLS:
        real = getattr(os, name)
        monkeypatch.setattr(os, name, lambda *a, name=name, real=real: calls.append(name) or real(*a))
    return calls


def test_saved_file_waits_for_the_disk_unless_told_otherwise(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    calls = record(monkeypatch)

    save_bytes(tmp_path / "x", b"1")
    assert calls == ["fsync", "replace", "fsync"]

    calls.clear()
    save_bytes(tmp_path / "x", b"2", durable=False)
    assert calls == ["replace"]
    assert (tmp_path / "x").read_bytes() == b"2"


def test_draft_is_published_writable_and_durable_as_a_rule(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    calls = record(monkeypatch)
    with draft_in(tmp_path) as draft:
        draft.file.write(b"x")
        draft.publish(tmp_path / "plain")
    with draft_in(tmp_path) as draft:
        draft.publish(tmp_path / "fixed", read_only=True)

    assert calls == ["fsync", "replace", "fsync", "chmod", "fsync", "replace", "fsync"]
    assert stat.S_IMODE((tmp_path / "plain").stat().st_mode) & stat.S_IWUSR
    assert stat.S_IMODE((tmp_path / "fixed").stat().st_mode) == READ_ONLY == 0o444


@pytest.mark.parametrize("error", [PermissionError, NotImplementedError])
def test_disk_that_knows_no_permissions_is_taken_as_it_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: type[Exception]
):
    def refuse(*_: object) -> None:
        raise error

    monkeypatch.setattr(os, "chmod", refuse)
    with draft_in(tmp_path) as draft:
        draft.file.write(b"x")
        draft.publish(tmp_path / "x", read_only=True)

    assert (tmp_path / "x").read_bytes() == b"x"


@pytest.mark.parametrize("stop_at", range(3))
def test_writing_that_stops_leaves_the_old_bytes_or_the_new_ones(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop_at: int
):
    """At each of fsync, replace and fsync again; what is left over is a draft, which the next run sweeps."""
    save_bytes(tmp_path / "x", b"old")
    calls: list[str] = []
    for name in ("fsync", "replace"):
        real = getattr(os, name)

        def maybe(*words: object, name: str = name, real: object = real) -> object:
            calls.append(name)
            if len(calls) > stop_at:
                raise Stopped
            return real(*words)  # type: ignore[operator]

        monkeypatch.setattr(os, name, maybe)

    with pytest.raises(Stopped):
        save_bytes(tmp_path / "x", b"new")
    monkeypatch.undo()

    assert (tmp_path / "x").read_bytes() == (b"new" if stop_at == 2 else b"old")
    assert os.listdir(tmp_path) == ["x"]


def test_draft_that_is_not_published_goes(tmp_path: Path):
    with draft_in(tmp_path) as draft:
        draft.file.write(b"x")
        (name,) = os.listdir(tmp_path)
        assert name.startswith(TEMPORARY)
        assert len(name) == len(TEMPORARY) + 16

    assert os.listdir(tmp_path) == []
    draft.discard()


def test_two_drafts_in_one_folder_do_not_meet(tmp_path: Path):
    with draft_in(tmp_path) as one, draft_in(tmp_path) as other:
        one.file.write(b"1")
        other.file.write(b"2")
        one.publish(tmp_path / "one")
        other.publish(tmp_path / "other")

    assert ((tmp_path / "one").read_bytes(), (tmp_path / "other").read_bytes()) == (b"1", b"2")


def test_folder_is_made_once_and_durably(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    calls = record(monkeypatch)
    make_folder(tmp_path / "ab")
    assert calls == ["fsync"]
    (tmp_path / "ab" / "kept").touch()

    make_folder(tmp_path / "ab")

    assert calls == ["fsync"]
    assert os.listdir(tmp_path / "ab") == ["kept"]
    with pytest.raises(FileNotFoundError):
        make_folder(tmp_path / "none" / "cd")


def test_folder_that_the_system_will_not_write_down_is_taken_as_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    def refuse(*_: object) -> None:
        raise PermissionError(errno.EPERM, "not permitted")

    monkeypatch.setattr(os, "fsync", refuse)
    handles = len(os.listdir("/proc/self/fd"))

    sync_folder(tmp_path)

    assert len(os.listdir("/proc/self/fd")) == handles, "what was opened is closed again"


def test_sweeping_takes_old_drafts_below_and_nothing_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    now = 1_760_000_000.0
    monkeypatch.setattr(atomic.time, "time", lambda: now)
    (tmp_path / "ab").mkdir()
    names = {
        "a notes.txt": 0.0,
        f"{TEMPORARY}old": 0.0,
        f"ab/{TEMPORARY}older": now - 3601,
        f"ab/{TEMPORARY}just": now - 3600,
        f"ab/{TEMPORARY}young": now - 3599,
        f"ab/x{TEMPORARY}": 0.0,
    }
    for name, modified in names.items():
        (tmp_path / name).touch()
        os.utime(tmp_path / name, (modified, modified))
    (tmp_path / f"{TEMPORARY}folder").mkdir()
    os.symlink(tmp_path / "a notes.txt", tmp_path / f"{TEMPORARY}link")

    assert sweep_drafts(tmp_path) == 3

    left = {path.relative_to(tmp_path).as_posix() for path in tmp_path.rglob("*") if path.name != "ab"}
    assert left == {
        "a notes.txt",
        f"ab/{TEMPORARY}young",
        f"ab/x{TEMPORARY}",
        f"{TEMPORARY}folder",
        f"{TEMPORARY}link",
    }


def test_draft_that_another_run_publishes_meanwhile_is_no_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    for name in "ab":
        (tmp_path / f"{TEMPORARY}{name}").touch()
        os.utime(tmp_path / f"{TEMPORARY}{name}", (0, 0))
    real = Path.lstat

    def gone(path: Path) -> os.stat_result:
        if path.name.endswith("a"):
            raise FileNotFoundError(path)
        return real(path)

    monkeypatch.setattr(Path, "lstat", gone)

    assert sweep_drafts(tmp_path, older_than_s=time.time() - 1) == 1
