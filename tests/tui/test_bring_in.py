"""The line that asks for a folder to bring in."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import Archive
from asfound.tui.background import typed_paths
from asfound.tui.widgets.ask_line import AskLine, common_start, folders_and_files
from tests.small_changes import card_of
from tests.tui.screens_of import running, summary_of, words_in


async def test_a_folder_that_is_not_there_can_be_mended_where_it_was_typed(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press("a", *"/nowhere", "enter")
        await pilot.pause()
        assert "/nowhere does not exist" in words_in(app, "#foot")
        assert app.screen.query_one(AskLine).field.value == "/nowhere"
        await pilot.press("backspace")
        assert app.screen.query_one(AskLine).field.value == "/nowher"
        assert summary_of(archive).pictures == 6


async def test_a_folder_is_brought_in_with_tab_and_enter(archive: Archive, tmp_path: Path) -> None:
    (tmp_path / "phone card").mkdir()
    card_of(tmp_path / "phone card" / "DCIM", 2)
    (tmp_path / "other").mkdir()
    async with running(archive) as (app, pilot):
        await pilot.press("a")
        await pilot.pause()
        foot = words_in(app, "#foot")
        assert "enter" in foot
        assert "tab" in foot
        assert "esc" in foot
        app.screen.query_one(AskLine).field.value = f"{tmp_path}/p"
        await pilot.press("tab")
        assert app.screen.query_one(AskLine).field.value == f"{tmp_path}/phone card/"
        await pilot.press("tab", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert summary_of(archive).pictures == 8


async def test_tab_shows_the_ways_where_there_are_several(archive: Archive, tmp_path: Path) -> None:
    card = tmp_path / "card"
    card.mkdir()
    for name in ("day 1", "day 2", ".hidden"):
        (card / name).mkdir()
    async with running(archive) as (app, pilot):
        await pilot.press("a")
        await pilot.pause()
        app.screen.query_one(AskLine).field.value = f"{card}/"
        await pilot.press("tab")
        assert app.screen.query_one(AskLine).field.value == f"{card}/day "
        assert "day 1  day 2" in words_in(app, "#foot")
        app.screen.query_one(AskLine).field.value = f"{card}/x"
        await pilot.press("tab")
        assert "nothing begins so" in words_in(app, "#foot")


def test_paths_are_completed_and_taken_apart(tmp_path: Path) -> None:
    (tmp_path / "two words").mkdir()
    (tmp_path / "a.jpg").touch()
    assert folders_and_files(f"{tmp_path}/") == [f"{tmp_path}/a.jpg", f"{tmp_path}/two words/"]
    assert folders_and_files(f"{tmp_path}/none/x") == []
    assert typed_paths(f"{tmp_path}/two words") == [tmp_path / "two words"]
    assert typed_paths("'one two' three") == [Path("one two"), Path("three")]
    assert typed_paths("it's") == [Path("it's")]


@pytest.mark.parametrize(
    ("ways", "start"), [(["abc"], "abc"), (["day 1", "day 2"], "day "), (["a", "ab"], "a"), (["a", "b"], "")]
)
def test_the_letters_all_begin_with(ways: list[str], start: str) -> None:
    assert common_start(ways) == start
