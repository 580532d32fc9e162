"""The first screen before the toolkit: it says what the real one says, and nothing once something was written."""

from __future__ import annotations

import os
import re
import select
import sqlite3
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.job import new_job
from asfound.actions.summary import summarize
from asfound.actions.tag import TagWords, add_tag
from asfound.tui.app import ArchiveApp
from asfound.tui.first_frame import (
    ENTER_PAGE,
    LEAVE_PAGE,
    LOOKING,
    NOTHING_KEPT,
    FirstRow,
    FirstWords,
    draw,
    keep,
    load_kept,
    shown,
)
from asfound.tui.first_words import first_words

WORDS = FirstWords(
    "asfound: Sallow",
    (FirstRow("next", "", "Next step", "close 3 gaps"), FirstRow("spots", "s", "Spots", "12 spots")),
    (("q", "leave"), ("?", "help")),
)
SEQUENCE = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]")


def lines_of(drawn: str) -> list[str]:
    return [SEQUENCE.sub("", part) for part in re.split(r"\x1b\[\d+;1H", drawn)[1:]]


@pytest.fixture
def archive_folder(tmp_path: Path) -> Path:
    folder = tmp_path / "archive"
    with open_archive(folder, create=True) as archive:
        new_job(archive, "Sallow, diesel out", zone="Europe/Amsterdam")
        add_tag(archive, "17", TagWords(kind="hose", name="bypass hose"))
    return folder


def test_what_was_kept_is_shown_until_something_is_written(archive_folder: Path):
    keep(archive_folder, None, WORDS)
    assert load_kept(archive_folder, None) == WORDS

    with sqlite3.connect(archive_folder / "asfound.sqlite") as connection:
        connection.execute("UPDATE job SET name = 'Sallow, once more'")
    connection.close()
    changed = load_kept(archive_folder, None)
    assert changed is not None
    assert [row[:3] for row in changed.rows] == [row[:3] for row in WORDS.rows]
    assert {row.words for row in changed.rows} == {LOOKING}


def test_jobs_have_words_of_their_own(archive_folder: Path):
    keep(archive_folder, 1, WORDS)
    assert load_kept(archive_folder, None) == NOTHING_KEPT
    assert load_kept(archive_folder, 1) == WORDS


def test_without_an_archive_nothing_is_shown(tmp_path: Path):
    assert load_kept(tmp_path, None) is None


@pytest.mark.parametrize("damage", [b"", b"{", b"[]", b'{"stamp": 1}', b'{"stamp": null, "rows": [[1]], "hints": []}'])
def test_damaged_words_are_not_shown(archive_folder: Path, damage: bytes):
    keep(archive_folder, None, WORDS)
    (kept,) = (archive_folder / "cache" / "screens").rglob("first-*.json")
    kept.write_bytes(damage)
    assert load_kept(archive_folder, None) == NOTHING_KEPT


@pytest.mark.parametrize("size", [(80, 24), (60, 20), (200, 60), (20, 3)])
def test_every_line_fits_the_terminal(size: tuple[int, int]):
    lines = lines_of(draw(WORDS, *size, {}))
    assert len(lines) == size[1]
    assert all(len(line) <= max(size[0], 24) for line in lines)


def test_no_colour_when_none_is_wanted():
    assert "38;2" in draw(WORDS, 80, 24, {})
    assert "38;2" not in draw(WORDS, 80, 24, {"NO_COLOR": "1"})


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_it_says_what_the_real_first_screen_says(archive_folder: Path, size: tuple[int, int]):
    with open_archive(archive_folder) as archive:
        app = ArchiveApp(archive)
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            rows = app.screen._compositor.render_strips()  # the lines as they stand on the terminal
            real = ["".join(segment.text for segment in row).rstrip() for row in rows]
        drawn = draw(first_words(summarize(archive), app.entries), *size, {})
    expected = [line.rstrip() for line in lines_of(drawn)]
    said = size[1] - 2
    assert expected[:said] + expected[-1:] == real[:said] + real[-1:]


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
@pytest.mark.parametrize("is_handed_over", [False, True])
def test_the_page_is_left_unless_the_toolkit_goes_on_with_it(is_handed_over: bool, monkeypatch: pytest.MonkeyPatch):
    """Either way keys wait unseen meanwhile, and the terminal's settings are put back."""
    import pty
    import termios

    master, slave = pty.openpty()
    termios.tcsetwinsize(slave, (24, 80))
    before = termios.tcgetattr(slave)
    with os.fdopen(slave, "w", closefd=False) as stream, os.fdopen(os.dup(slave)) as typed:
        monkeypatch.setattr(sys, "__stderr__", stream)
        monkeypatch.setattr(sys, "__stdin__", typed)
        with shown(WORDS, {}) as frame:
            assert frame.stands
            assert not termios.tcgetattr(slave)[3] & termios.ECHO
            if is_handed_over:
                frame.hand_over()
                assert not frame.stands
        frame.clear()  # a second time is nothing
    written = os.read(master, 65536).decode()
    assert written.startswith(ENTER_PAGE)
    assert "close 3 gaps" in written
    assert written.count(LEAVE_PAGE) == (0 if is_handed_over else 1)
    assert termios.tcgetattr(slave) == before
    for number in (master, slave):
        os.close(number)


def test_nothing_is_written_where_there_is_no_terminal_or_nothing_to_say(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    with (tmp_path / "log").open("w") as stream:
        monkeypatch.setattr(sys, "__stderr__", stream)
        for words in (WORDS, None):
            with shown(words, {}) as frame:
                assert not frame.stands
    monkeypatch.setattr(sys, "__stderr__", None)
    with shown(WORDS, {}) as frame:
        assert not frame.stands
    assert (tmp_path / "log").read_text() == ""


def test_words_are_not_kept_while_another_program_may_be_writing(archive_folder: Path):
    (archive_folder / "asfound.sqlite-wal").write_bytes(b"")
    keep(archive_folder, None, WORDS)
    assert load_kept(archive_folder, None) == NOTHING_KEPT


def test_more_rows_than_the_terminal_has_leave_room_for_the_keys():
    words = FirstWords(
        "asfound", tuple(FirstRow(letter, letter, "Place", "state") for letter in "abcdefgh"), (("q", "leave"),)
    )
    lines = lines_of(draw(words, 40, 5, {}))
    assert [line[2:3] for line in lines[1:-1]] == ["", "a", "b"]
    assert lines[-1].strip() == "q leave"


@pytest.mark.skipif(sys.platform == "win32", reason="needs a pseudo-terminal")
def test_a_key_typed_before_the_toolkit_stands_is_answered_and_the_terminal_is_put_back(archive_folder: Path):
    import pty
    import termios

    environment = {**os.environ, "ASFOUND_ARCHIVE": str(archive_folder), "TERM": "xterm-256color"}
    master, slave = pty.openpty()
    before = termios.tcgetattr(slave)
    child = os.fork()
    if child == 0:
        os.setsid()
        for number in (0, 1, 2):
            os.dup2(slave, number)
        os.execve(sys.executable, [sys.executable, "-m", "asfound"], environment)
    shown = _read_until(master, b"Next step")
    assert shown.count(b"\x1b[?1049h") == 1
    os.write(master, b"q")
    rest = _read_until(master, None)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    assert (shown + rest).count(b"\x1b[?1049h") == 1
    assert termios.tcgetattr(slave)[3] == before[3]
    assert load_kept(archive_folder, None) != NOTHING_KEPT


def _read_until(master: int, words: bytes | None) -> bytes:
    """What the program says, up to some words or until it has been silent for long."""
    seen = b""
    while (words is None or words not in seen) and select.select([master], [], [], 10 if words else 4)[0]:
        with suppress(OSError):
            seen += os.read(master, 65536)
            if b"\x1b[6n" in seen[-64:]:
                os.write(master, b"\x1b[1;1R")
        if words is None and seen.endswith(b"\x1b[?1049l"):
            break
    return seen
