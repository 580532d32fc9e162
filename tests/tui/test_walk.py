"""The walk round on its screen: a picture chosen from the sheet, "not here" with its reason, own items."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.walk_round import list_walk
from asfound.tui.app import ArchiveApp
from asfound.tui.screens.choose_picture import ChoosePictureScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.walk import WalkScreen
from asfound.tui.widgets.rows import RowList
from tests.tui.screens_of import press, running, said, words_in


def row(app: ArchiveApp, name: str) -> tuple[str, ...]:
    return next(row.cells for row in app.screen.query_one(RowList).rows if row.cells[1] == name)


async def test_a_picture_is_chosen_looked_at_and_taken_back(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "W")
        assert isinstance(app.screen, WalkScreen)
        assert "15 of 15 open" in words_in(app, "#top")
        assert row(app, "front") == ("□", "front", "no picture yet")
        await press((app, pilot), "v")
        assert "No picture is named for front" in said(app)
        await press((app, pilot), "enter")
        assert isinstance(app.screen, ChoosePictureScreen)
        assert "Which picture shows: front" in words_in(app, "#top")
        await press((app, pilot), "l", "enter")
        assert isinstance(app.screen, WalkScreen)
        assert row(app, "front") == ("✓", "front", "P0002.jpg")
        assert "u takes it back" in said(app)
        await press((app, pilot), "v")
        assert isinstance(app.screen, PictureScreen)
        await press((app, pilot), "escape", "u")
        assert row(app, "front")[0] == "□"


async def test_leaving_the_sheet_answers_nothing(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "W", "enter", "escape")
        assert isinstance(app.screen, WalkScreen)
        assert not any(line.pictures for line in list_walk(archive))


async def test_not_here_asks_why_and_an_own_item_comes_and_goes(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "W", "x", *"boxed", "enter")
        assert row(app, "front") == ("-", "front", "not here: boxed")
        await press((app, pilot), "r")
        assert row(app, "front")[0] == "□"
        await press((app, pilot), "a", *"keel", "enter")
        assert row(app, "keel")[0] == "□"
        await press((app, pilot), *("j",) * 15, "r")
        assert list_walk(archive)[-1].item.name == "old leaks"
        assert "off the list" in said(app)


async def test_a_gap_of_the_walk_round_leads_to_its_row(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "W", "x", *"boxed", "enter", "g", "enter")
        assert isinstance(app.screen, WalkScreen)
        chosen = app.screen.query_one(RowList).chosen
        assert chosen is not None
        assert chosen.cells[1] == "alignment gaps"


async def test_a_job_without_pictures_says_what_to_do(empty: Archive) -> None:
    async with running(empty) as (app, pilot):
        await press((app, pilot), "W", "enter")
        assert "no pictures yet" in said(app)
