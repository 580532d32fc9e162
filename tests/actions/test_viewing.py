"""Which viewer opens a file, and a path as a shell takes it; the shell itself is the judge."""

from __future__ import annotations

import shutil
import subprocess
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.actions.viewing import open_in_viewer, path_for_shell, viewer_command

NAMES = st.text(st.characters(codec="utf-8", exclude_characters="/\0"), min_size=1, max_size=20).filter(
    lambda name: name not in (".", "..")
)
needs_shell = pytest.mark.skipif(shutil.which("sh") is None, reason="needs a shell")


def read_by_shell(text: str, home: Path) -> list[str]:
    """The words that a shell makes of a text."""
    script = f"for word in {text}; do printf '%s\\0' \"$word\"; done"
    ran = subprocess.run(["sh", "-c", script], capture_output=True, check=True, env={"HOME": str(home)})
    return ran.stdout.decode().split("\0")[:-1]


@needs_shell
@settings(deadline=None, max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(NAMES, NAMES, st.integers(1, 200))
def test_whatever_a_file_is_called_the_shell_finds_it(tmp_path: Path, folder: str, name: str, room: int) -> None:
    path = tmp_path / folder / name
    try:
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(b"x")
    except OSError:  # more bytes than a name may have on this system
        return
    assert read_by_shell(path_for_shell(path, room, tmp_path), tmp_path) == [str(path)]


@needs_shell
def test_a_shortened_name_means_this_file_alone_among_its_like(tmp_path: Path) -> None:
    """Names as an original has them: 64 digits, the first of which may be those of another."""
    like = [tmp_path / (start + "0" * (64 - len(start)) + ".jpg") for start in ("12345678a", "12345678b", "9")]
    for path in like:
        path.write_bytes(b"x")
    for path in like:
        shown = path_for_shell(path, 30, tmp_path)
        assert shown.endswith("*")
        assert len(shown) <= len("~/12345678b*") + 1
        assert read_by_shell(shown, tmp_path) == [str(path)]


def test_a_name_that_begins_as_another_whole_one_does_is_written_out(tmp_path: Path) -> None:
    short, long = tmp_path / ("a" * 40), tmp_path / ("a" * 40 + "b")
    for path in (short, long):
        path.write_bytes(b"x")
    assert path_for_shell(short, 10, tmp_path) == f"~/{short.name}"


def test_a_path_outside_of_home_is_whole(tmp_path: Path) -> None:
    assert path_for_shell(Path("/archive/P1.jpg"), 40, tmp_path) == "/archive/P1.jpg"


@pytest.mark.parametrize(
    ("platform", "environ", "opens"),
    [
        ("darwin", {}, ["open", "a.jpg"]),
        ("darwin", {"SSH_CONNECTION": "here there"}, None),
        ("win32", {}, ["explorer", "a.jpg"]),
        ("linux", {}, None),
        ("linux", {"SSH_CONNECTION": "here there"}, None),
    ],
)
def test_no_viewer_is_meant_where_nobody_would_see_it(
    platform: str, environ: dict[str, str], opens: list[str] | None
) -> None:
    assert viewer_command(Path("a.jpg"), environ, platform) == opens


@pytest.mark.parametrize("display", ["DISPLAY", "WAYLAND_DISPLAY"])
def test_with_a_display_the_desktops_own_opener_is_used_where_there_is_one(
    display: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert viewer_command(Path("a.jpg"), {display: ":0"}, "linux") is None

    opener = tmp_path / "xdg-open"
    opener.write_text("#!/bin/sh\n")
    opener.chmod(0o755)
    assert viewer_command(Path("a.jpg"), {display: ":0"}, "linux") == [str(opener), "a.jpg"]


@needs_shell
def test_a_viewer_gets_the_path_and_may_write_what_it_likes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    got = tmp_path / "got"
    opener = tmp_path / "xdg-open"
    opener.write_text(
        f"#!/bin/sh\necho noise\necho noise >&2\nprintf '%s' \"$1\" > '{got}.part'\n/bin/mv '{got}.part' '{got}'\n"
    )
    opener.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr("asfound.actions.viewing.viewer_command", lambda path, environ: [str(opener), str(path)])
    assert open_in_viewer(Path("two words.jpg"), {})
    until = time.monotonic() + 20
    while not got.exists() and time.monotonic() < until:
        time.sleep(0.01)
    assert got.read_text() == "two words.jpg"
    assert capfd.readouterr() == ("", "")


def test_a_viewer_that_cannot_be_started_is_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        "asfound.actions.viewing.viewer_command", lambda path, environ: [str(tmp_path / "gone"), str(path)]
    )
    assert not open_in_viewer(Path("a.jpg"), {})
    monkeypatch.setattr("asfound.actions.viewing.viewer_command", lambda path, environ: None)
    assert not open_in_viewer(Path("a.jpg"), {})
