"""One picture, two beside each other, and sheets of many."""

from __future__ import annotations

from dataclasses import replace

import pytest

from asfound.actions.archive import Archive
from asfound.tui import going
from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.widgets.contact_sheet import ContactSheet
from tests.small_changes import lose_original
from tests.tui.screens_of import press, running, said, settle


def picture_screen(app: ArchiveApp) -> PictureScreen:
    assert isinstance(app.screen, PictureScreen)
    return app.screen


async def test_next_picture_keeps_the_part_looked_at(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        await press((app, pilot), "plus", "plus", "plus")
        before = picture_screen(app).canvas.view
        await press((app, pilot), "full_stop")
        assert picture_screen(app).picture_id == 2
        after = picture_screen(app).canvas.view
        assert before is not None
        assert after is not None
        assert (after.centre_x, after.px_per_column) == (before.centre_x, before.px_per_column)


@pytest.mark.parametrize(("size", "shown"), [((80, 24), 1), ((120, 40), 2)])
async def test_before_and_after_share_one_window(many: Archive, size: tuple[int, int], shown: int) -> None:
    async with running(many, size=size) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        canvases = [canvas for canvas in app.screen.query(Canvas) if canvas.display]
        assert len(canvases) == shown
        await press((app, pilot), "plus", "plus", "plus", "l")
        (front,) = [canvas for canvas in canvases if canvas.id == "before"]
        view, crosshair = front.view, front.crosshair
        await press((app, pilot), "x")
        after = app.screen.query_one("#after", Canvas)
        # Side by side a column lies between the two, so that one may be a column narrower.
        assert abs(after.view.columns - view.columns) <= shown - 1
        assert replace(after.view, columns=view.columns) == view
        assert after.crosshair == pytest.approx(crosshair)


@pytest.mark.parametrize(("size", "count", "across"), [((80, 24), 6, 3), ((120, 40), 6, 3), ((80, 24), 30, 3)])
async def test_sheet_pictures_are_as_large_as_fits(
    many: Archive, size: tuple[int, int], count: int, across: int
) -> None:
    async with running(many, size=size) as (app, pilot):
        app.post_message(going.ShowPictures("all", range(1, count + 1)))
        await settle(app, pilot)
        sheet = app.screen.query_one(ContactSheet)
        assert sheet.grid.across == across
        await press((app, pilot), "end")
        assert sheet.chosen is not None
        assert sheet.chosen.picture_id == count
        bottom = "".join(sheet.render_line(row).text for row in range(sheet.size.height))
        assert "▸" in bottom


async def test_pictures_out_of_sight_are_told(many: Archive) -> None:
    async with running(many) as (app, pilot):
        app.post_message(going.ShowPictures("all", range(1, 41)))
        await settle(app, pilot)
        sheet = app.screen.query_one(ContactSheet)
        text = "\n".join(sheet.render_line(row).text for row in range(sheet.size.height))
        assert "34 below" in text
        assert "above" not in text
        await press((app, pilot), "end")
        text = "\n".join(sheet.render_line(row).text for row in range(sheet.size.height))
        assert "above" in text
        assert "below" not in text


async def test_a_picture_that_cannot_be_opened_stops_nothing(archive: Archive) -> None:
    lose_original(archive, 1)
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        assert "restore it" in said(app)
        await press((app, pilot), "a")
        assert app.screen.query(ContactSheet)
