"""What a terminal can do, asked of a real pseudo-terminal where the system has one."""

from __future__ import annotations

import os
import struct
import sys
from pathlib import Path
from typing import TextIO

import pytest

from asfound.tui.terminal import (
    USUAL_ASPECT,
    cell_aspect,
    colour_system,
    likely_folder,
    prepare_environment,
    terminal_key,
)

needs_terminal = pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")


@needs_terminal
@pytest.mark.parametrize(
    ("rows", "columns", "width", "height", "aspect"),
    [
        (24, 80, 640, 384, 2.0),
        (40, 120, 1200, 800, 2.0),
        (24, 80, 800, 432, 1.8),
        (24, 80, 0, 0, USUAL_ASPECT),  # most terminals do not say
        (24, 80, 640, 38, USUAL_ASPECT),  # what cannot be is not believed
        (24, 80, 64, 384, USUAL_ASPECT),
        (0, 0, 640, 384, USUAL_ASPECT),
    ],
)
def test_the_shape_of_a_cell_is_what_the_terminal_says_of_its_size_in_pixels(
    rows: int, columns: int, width: int, height: int, aspect: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    import fcntl
    import pty
    import termios

    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, width, height))
    with os.fdopen(slave, "w") as stream:
        stand_in_for_terminal(monkeypatch, stream)
        assert cell_aspect() == pytest.approx(aspect)
    os.close(master)


def stand_in_for_terminal(monkeypatch: pytest.MonkeyPatch, stream: TextIO | None) -> None:
    monkeypatch.setattr(sys, "__stderr__", stream)
    monkeypatch.setattr(sys, "__stdin__", None)
    monkeypatch.setattr(sys, "__stdout__", None)


def test_without_a_terminal_the_usual_shape_is_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    stand_in_for_terminal(monkeypatch, None)
    assert cell_aspect() == USUAL_ASPECT
    with (tmp_path / "file").open("w") as stream:
        stand_in_for_terminal(monkeypatch, stream)
        assert cell_aspect() == USUAL_ASPECT
    assert cell_aspect() == USUAL_ASPECT  # closed by now


@pytest.mark.parametrize(
    ("environ", "system"),
    [
        ({}, "truecolor"),
        ({"TERM": "xterm"}, "truecolor"),
        ({"TERM": "screen-256color", "SSH_CONNECTION": "x"}, "truecolor"),
        ({"TERM": "linux"}, "standard"),
        ({"TERM": "dumb"}, "standard"),
        ({"TERM": "xterm-256color", "TERM_PROGRAM": "Apple_Terminal"}, "256"),
    ],
)
def test_colours_are_true_unless_the_terminal_is_known_not_to_have_them(environ: dict[str, str], system: str) -> None:
    assert colour_system(environ) == system


def test_a_choice_of_colours_by_the_person_is_left_alone() -> None:
    environ = {"TERM": "linux", "TEXTUAL_COLOR_SYSTEM": "256", "TEXTUAL_SMOOTH_SCROLL": "1"}
    prepare_environment(environ)
    assert environ["TEXTUAL_COLOR_SYSTEM"] == "256"
    assert environ["TEXTUAL_SMOOTH_SCROLL"] == "0"

    environ = {"TERM": "linux", "TEXTUAL_COLOR_SYSTEM": ""}
    prepare_environment(environ)
    assert environ["TEXTUAL_COLOR_SYSTEM"] == "standard"


def test_kinds_of_terminal_are_told_apart_by_what_changes_how_pictures_look() -> None:
    plain = {"TERM": "xterm-256color", "HOME": "/home/x"}
    assert terminal_key(plain) == "xterm-256color"
    keys = {terminal_key(plain | more) for more in ({}, {"TMUX": "/tmp/1"}, {"TERM_PROGRAM": "x"}, {"TERM": "linux"})}
    assert len(keys) == 4
    assert terminal_key(plain | {"TMUX": "/tmp/1"}) == terminal_key(plain | {"TMUX": "/tmp/2"})
    assert terminal_key({}) == ""


def test_the_one_card_that_is_put_in_is_meant_and_of_two_neither(tmp_path: Path) -> None:
    mounts = [str(tmp_path), str(tmp_path / "user")]
    assert likely_folder(mounts) == ""
    (tmp_path / "CARD" / "DCIM").mkdir(parents=True)
    (tmp_path / "STICK").mkdir()
    assert likely_folder(mounts) == f"{tmp_path}/CARD/DCIM/"
    (tmp_path / "user" / "PHONE" / "DCIM").mkdir(parents=True)
    assert likely_folder(mounts) == ""
