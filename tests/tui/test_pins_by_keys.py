"""Pins set, moved, answered and taken away on a picture."""

from __future__ import annotations

import pytest

from asfound.actions.archive import Archive
from asfound.tui import going
from asfound.tui.app import ArchiveApp
from asfound.tui.pinned_picture import PinnedPicture
from asfound.tui.screens.picture import PictureScreen
from tests.tui.read_back import boxes, labels, pinned, proposed
from tests.tui.screens_of import press, running, said, settle
from tests.tui.sort_setup import let_numbers_be_read


def picture_screen(app: ArchiveApp) -> PictureScreen:
    assert isinstance(app.screen, PictureScreen)
    return app.screen


async def test_a_number_and_space_pins_at_the_crosshair_and_u_takes_it_back(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "l", "l", "j")
        x, y = picture_screen(app).canvas.crosshair

        await press((app, pilot), "5", "5", "b", "space")

        assert pinned(archive, 4) == {"55B": pytest.approx((x / 400, y / 300))}
        assert {"55B on 5", "55B on 6"} <= set(labels(archive, proposed(archive)))
        assert "2 other pictures" in said(app)
        assert [mark.words for mark in picture_screen(app).canvas.marks] == ["[55B]"]

        await press((app, pilot), "u")
        assert picture_screen(app).canvas.marks == ()
        assert pinned(archive, 4) == {}


async def test_p_asks_for_the_number_and_a_box_goes_with_it(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "b", "L", "J", "b", "p", "7", "enter")
        ((width, height),) = boxes(archive, 4).values()
        assert list(boxes(archive, 4)) == ["7A"]
        assert width is not None
        assert height is not None
        assert min(width, height) > 0.1


async def test_the_end_that_was_chosen_in_the_box_is_the_one_pinned(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "p", "1", "1", "2", "down", "enter")
        assert list(pinned(archive, 4)) == ["112B"]


async def test_space_ends_the_number_in_the_pin_box_too(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "p", "7", "space")
        assert list(pinned(archive, 4)) == ["7A"]


async def test_a_proposal_is_answered_with_one_key(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(2))
        await settle(app, pilot)
        await press((app, pilot), "tab", "tab", "tab")
        assert picture_screen(app).canvas.marks[2].words == "[31A?]"
        await press((app, pilot), "y")
        assert pinned(archive, 2)["31A"] == pytest.approx((0.62, 0.33))
        assert not any(mark.proposed for mark in picture_screen(app).canvas.marks)


async def test_pins_are_moved_and_taken_away(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        await press((app, pilot), "m")
        assert "Choose a pin" in said(app)
        await press((app, pilot), "tab", "l", "m")
        assert pinned(archive, 1)["31A"][0] > 0.60
        assert pinned(archive, 1)["112A"] == (0.30, 0.40)
        await press((app, pilot), "x")
        assert list(pinned(archive, 1)) == ["112A"]


async def test_a_bare_number_says_which_end_it_pins_and_tab_takes_the_other(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "3", "1")
        box = app.screen.number_box  # type: ignore[attr-defined]
        last = box.rows.render_line(box.rows.size.height - 1).text
        assert "enter shows 31 A" in last
        assert "space pins 31 B" in last
        assert "tab other end" in last
        await press((app, pilot), "tab")
        assert "space pins 31 A" in box.rows.render_line(box.rows.size.height - 1).text
        await press((app, pilot), "space")
        assert list(pinned(archive, 4)) == ["31A"]


async def test_news_of_carried_pins_does_not_hide_what_was_said_since(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(4))
        await settle(app, pilot)
        await press((app, pilot), "5", "5", "space")
        assert "u takes it back. It is also proposed on 2 other pictures" in said(app)
        await press((app, pilot), "u")
        picture_screen(app).pinned.post_message(PinnedPicture.Carried("Pinned 55 A. u takes it back.", "news"))
        await settle(app, pilot)
        assert "Taken back" in said(app)


async def test_the_picture_large_asks_which_end_too(archive: Archive) -> None:
    let_numbers_be_read(archive)
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPicture(3))
        await settle(app, pilot)
        await press((app, pilot), "space", "y")
        assert "Which end of 31 is it?" in said(app)
        assert "A or B says which end" in str(app.screen.query_one("#pin").render())
        await press((app, pilot), "A")
        assert "31 A is pinned" in said(app)
        assert "31A" in pinned(archive, 3)
