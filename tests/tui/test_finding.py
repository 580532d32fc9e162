"""A number or words typed on any screen, and the picture that answers."""

from __future__ import annotations

import pytest
from textual import events

from asfound.actions.archive import Archive
from asfound.tui.app import ArchiveApp
from asfound.tui.entry import load_entries
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.widgets.rows import RowList
from tests.small_changes import come_off, go_back_on
from tests.tui.screens_of import press, running, said, settle


def picture_screen(app: ArchiveApp) -> PictureScreen:
    assert isinstance(app.screen, PictureScreen)
    return app.screen


KEYS = [(name, entry.key) for name, entry in load_entries().items() if entry.key and not entry.is_over]


async def test_a_number_typed_anywhere_shows_the_pin_close(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        for _, key in KEYS:
            if key == "i":
                continue
            await press((app, pilot), key, "1", "1", "2", "enter")
            screen = picture_screen(app)
            assert screen.picture_id == 1
            view = screen.canvas.view
            assert view is not None
            assert (view.centre_x, view.centre_y) == pytest.approx((0.30 * 400, 0.40 * 300))
            assert view.magnification > 2
            assert "as found" in said(app)
            await press((app, pilot), "escape")


async def test_brackets_step_through_pictures_of_the_end_and_e_flips_ends(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "1", "1", "2", "enter")
        await press((app, pilot), "right_square_bracket")
        assert picture_screen(app).picture_id == 2
        await press((app, pilot), "right_square_bracket")
        assert "newest" in said(app)
        await press((app, pilot), "left_square_bracket")
        assert picture_screen(app).picture_id == 1
        await press((app, pilot), "e")
        assert picture_screen(app).picture_id == 2
        assert picture_screen(app).canvas.crosshair == pytest.approx((0.70 * 400, 0.55 * 300))


async def test_an_unknown_number_changes_nothing(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "9", "9", "enter")
        assert app.current_mode == "tags"
        assert "No tag begins with 99" in said(app)


async def test_a_number_without_picture_leads_to_its_other_end_where_that_has_one(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "3", "1", "b", "enter")
        assert "31 B injector plug, cylinder 1 has no picture; this is its end A" in said(app)
        assert "photograph it now" in said(app)
        assert picture_screen(app).picture_id == 1
        await press((app, pilot), "escape", "1", "1", "0", "enter")
        assert "110 A glow plug wire has no picture. Its place: glow plug 3." in said(app)
        assert app.current_mode == "start"


@pytest.mark.parametrize(
    ("state", "words"), [("", "Still in place"), ("off", "It is off"), ("refitted", "only how it was refitted")]
)
async def test_what_a_picture_of_today_can_still_show_depends_on_the_log(
    archive: Archive, state: str, words: str
) -> None:
    {"": lambda *_: None, "off": come_off, "refitted": go_back_on}[state](archive, "110")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "1", "1", "0", "enter")
        assert words in said(app)


async def test_the_number_box_keeps_its_keys_to_itself(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "1", "q", "backspace", "1")
        box = app.screen.number_box  # type: ignore[attr-defined]
        assert box.words == "11"
        assert [choice.words for choice in box.choices] == ["110a", "110b", "112a", "112b"]
        await press((app, pilot), "down", "down", "escape")
        assert not box.is_open
        assert app.current_mode == "start"
        await press((app, pilot), "slash", *"fuel", "enter")
        assert picture_screen(app).picture_id == 1


async def test_a_new_number_is_called_new_where_it_would_be_made(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "i", "7", "7")
        box = app.screen.number_box  # type: ignore[attr-defined]
        assert "a new number, end A" in box.rows.render_line(0).text
        await press((app, pilot), "escape", "t", "7", "7")
        assert "No tag begins with 77" in app.screen.number_box.rows.render_line(0).text  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("place", "typed", "narrowed"), [("t", "/pump", "pump"), ("s", "/fuel", "fuel"), ("t", "/uuxx", "uuxx")]
)
async def test_keys_that_come_in_one_burst_are_taken_in_turn(
    archive: Archive, place: str, typed: str, narrowed: str
) -> None:
    """Over a slow line keys come together; those after the one that opens a line are words, not commands."""
    async with running(archive) as (app, pilot):
        await press((app, pilot), place)
        before = archive.store.count_steps()
        for character in typed:
            app.post_message(events.Key("slash" if character == "/" else character, character))
        await settle(app, pilot)
        assert app.screen.query_one(RowList).narrowed_to == narrowed
        assert archive.store.count_steps() == before


async def test_a_burst_that_opens_a_screen_goes_on_there(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        for key in ("t", "slash", "p"):
            app.post_message(events.Key(key, "/" if key == "slash" else key))
        await settle(app, pilot)
        assert app.current_mode == "tags"
        assert app.screen.query_one(RowList).narrowed_to == "p"
