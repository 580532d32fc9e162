"""A step taken back on one screen is gone from the others too, whatever was done with the terminal meanwhile."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.tui import going
from asfound.tui.screens.picture import PictureScreen
from tests.tui.screens_of import press, running, said, settle


async def test_a_new_tag_that_is_taken_back_elsewhere_is_not_in_hand_when_its_picture_is_shown_again(
    archive: Archive,
) -> None:
    async with running(archive, size=(120, 40)) as run:
        app, pilot = run
        app.post_message(going.ShowPicture(1))
        await settle(app, pilot)
        await press(run, "9", "9", "space")
        assert isinstance(app.screen, PictureScreen)
        made = app.screen.tag_in_hand
        assert made is not None
        app.go("tags")
        await settle(app, pilot)

        await press(run, "u")
        assert "Taken back" in said(app)
        await pilot.resize_terminal(130, 40)
        app.go("start")
        await settle(app, pilot)

        assert isinstance(app.screen, PictureScreen)
        assert app.screen.tag_in_hand != made
        assert "99" not in str(app.screen.query_one("#card").render())


async def test_shift_tab_stays_in_a_question(archive: Archive) -> None:
    async with running(archive) as run:
        app, _ = run
        await press(run, "a")
        asked = app.focused
        await press(run, "shift+tab", "x")
        assert app.focused is asked
        assert str(getattr(asked, "value", "")).endswith("x")
