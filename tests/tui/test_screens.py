"""Every screen: opened by its key, with help that names its keys; what a list shows, a refusal, an empty job."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.spots import get_spot
from asfound.errors import Misused
from asfound.store.pictures import list_pictures
from asfound.tui.entry import load_entries
from asfound.tui.first_words import (
    next_place,
)
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.key_line import KeyLine
from asfound.tui.widgets.rows import RowList
from tests.small_changes import card_of, tag_of
from tests.tui.read_back import logged
from tests.tui.screens_of import press, running, said, settle, summary_of, words_in

SIZES = [(80, 24), (120, 40), (60, 20)]


KEYS = [(name, entry.key) for name, entry in load_entries().items() if entry.key and not entry.is_over]


@pytest.mark.parametrize("size", SIZES)
async def test_every_place_opens_names_its_keys_and_closes(archive: Archive, size: tuple[int, int]) -> None:
    async with running(archive, size=size) as (app, pilot):
        for name, key in KEYS:
            await press((app, pilot), key)
            assert app.current_mode == name
            hints = app.screen.query_one(KeyLine).fitting(size[0])
            assert 2 <= len(hints) <= (6 if size[0] < 100 else 10)
            assert hints[-1].words == "help"

            if size != (80, 24):
                continue
            await press((app, pilot), "question_mark")
            text = " ".join(app.screen.text().split())  # type: ignore[attr-defined]
            assert "Everywhere" in text
            for words in (key.does for key in app.entries[name].factory.KEYS):  # type: ignore[attr-defined]
                assert words in text

            await press((app, pilot), "escape", "escape")
            assert app.current_mode == "start"


def test_keys_of_places_differ() -> None:
    keys = [key for _, key in KEYS]
    assert len(keys) == len(set(keys))
    assert all(len(key) == 1 and key.isalpha() for key in keys)


async def test_an_empty_archive_says_what_to_do(empty: Archive) -> None:
    async with running(empty) as (app, pilot):
        assert "Press a" in said(app)
        assert next_place(summary_of(empty)) == "add"
        await press((app, pilot), "d")
        assert "press" in app.screen.query_one(RowList).empty_words.lower()
        await press((app, pilot), "i")
        question = str(app.screen.query_one("#question").render())
        assert "Nothing waits" in question
        assert "s goes to the spots" in question  # the way on, not only that this one has ended


async def test_tags_are_filtered_and_marked(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t")
        assert [row.cells[0] for row in app.screen.query_one(RowList).rows] == ["31", "110", "112"]
        await press((app, pilot), "f")
        assert [row.cells[0] for row in app.screen.query_one(RowList).rows] == ["110"]
        await press((app, pilot), "o", "r")
        assert logged(archive) == ["110 off", "110 refitted"]
        await press((app, pilot), "a", *"77", "enter")
        assert tag_of(archive, "77").name == ""


async def test_a_spot_is_named(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "s", "j", "c", *"oilcooler", "enter")
        assert get_spot(archive, "oilcooler").picture_ids == (4, 5, 6)
        assert "u takes it back" in said(app)


async def test_files_are_added_while_the_screens_go_on(archive: Archive, tmp_path: Path) -> None:
    card = card_of(tmp_path / "card", 2)
    async with running(archive) as (app, pilot):
        app.background.bring_in(str(card))
        await settle(app, pilot)
        assert len(list_pictures(archive.store, archive.job.job_id)) == 8
        assert "Added 2" in said(app)
        assert "Nothing was added" in app.background.bring_in(str(tmp_path / "nothing"))


async def test_undo_with_nothing_to_take_back_says_so(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "u")
        assert said(app) == "There is nothing left to undo."


async def test_a_refusal_is_said_and_changes_nothing(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **_words: object) -> None:
        raise Misused("The archive is read only: nothing was written.")

    monkeypatch.setattr(log, "mark_off", refuse)
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "o")
        assert said(app) == "The archive is read only: nothing was written."
        assert logged(archive) == []


def test_screens_load_without_the_drawing_libraries() -> None:
    code = (
        "import asfound.tui.app, sys;"
        "from asfound.tui.entry import load_entries; load_entries();"
        "print([name for name in ('cv2', 'numpy', 'av', 'PIL') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env={**os.environ})
    assert done.stdout.strip() == "[]"


async def test_the_list_of_commands_has_what_can_be_done_here(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press("t")
        await pilot.pause()
        commands = {command.title: command for command in app.get_system_commands(app.screen)}
        assert {"Sort", "Gaps", "Undo", "New tag", "Off now", "Dark or bright", "Leave"} <= set(commands)
        assert "Stop the work" not in commands
        commands["Bring in"].callback()
        await pilot.pause()
        assert "tab completes" in str(app.screen.query_one("AskLine #foot").render())


async def test_help_says_when_there_is_more_below(archive: Archive) -> None:
    async with running(archive, size=(60, 20)) as (app, pilot):
        await pilot.press("question_mark")
        await pilot.pause()
        assert "more below: space" in words_in(app, "#top")
        for _ in range(6):
            await pilot.press("space")
            await pilot.pause()
        assert "more below" not in words_in(app, "#top")


async def test_q_leaves_from_any_screen_but_is_a_letter_in_a_name(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press("s", "r")
        await pilot.pause()
        await pilot.press("q")
        assert app.screen.query_one(AskLine).field.value.endswith("q")
        assert app._exit is False
        await pilot.press("escape", "q")
        await pilot.pause()
        assert app._exit is True
