"""What a person says of two pictures: that they are a pair, that what went back is right, wrong, or cannot be told."""

from __future__ import annotations

import pytest

from asfound.actions.archive import Archive
from asfound.actions.snags import SnagTies, add_snag, get_snag
from asfound.actions.spots import confirm_pair, list_pairs
from asfound.tui import going
from asfound.tui.app import ArchiveApp
from asfound.tui.canvas.widget import Canvas
from asfound.tui.links import ShiftedLink
from asfound.tui.screens.pair import PairScreen
from asfound.tui.screens.tag_entry import TagEntryScreen
from asfound.tui.widgets.key_line import KeyLine
from tests.small_changes import off_and_on, tag_of
from tests.tui.read_back import last_look, pair_words
from tests.tui.screens_of import press, running, said, settle

RIGHT, WRONG = ("a", *"right", "enter"), ("a", "w", "space", *"clamp", "enter")


def keys(words: str) -> list[str]:
    return ["space" if letter == " " else letter for letter in words]


def pair_screen(app: ArchiveApp) -> PairScreen:
    assert isinstance(app.screen, PairScreen)
    return app.screen


async def test_a_thing_that_is_back_is_looked_over_from_its_list_and_its_picture(archive: Archive) -> None:
    off_and_on(archive, "112")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "end", "apostrophe")
        screen = pair_screen(app)
        assert "112A" in screen.where()
        assert screen.where().endswith("fuel return hose")
        marks = screen.query_one("#before", Canvas).marks
        assert [(one.text, one.x, one.y) for one in marks] == [("112A", 120.0, 120.0)]
        await press((app, pilot), *WRONG)
        assert last_look(archive) == ("112A", "wrong", "P0003.jpg", "P0001.jpg", "clamp")
        assert "recorded as wrong by you. Snag 3 is open for it." in said(app)
        await press((app, pilot), "u")
        assert "Taken back: 112 looked over: wrong" in said(app)
        await press((app, pilot), "escape", "1", "1", "2", "enter", "apostrophe", *RIGHT)
        assert last_look(archive) == ("112A", "right", "P0003.jpg", "P0001.jpg", "")
        assert "safe" not in said(app).lower()


async def test_after_right_one_key_ends_the_snag_that_is_still_open_and_nothing_ends_it_unasked(
    archive: Archive,
) -> None:
    off_and_on(archive, "112")
    add_snag(archive, "thread stiff", SnagTies(tag=tag_of(archive, "112")))
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "end", "apostrophe", "e")
        assert "once its thing is recorded as right" in said(app)
        await press((app, pilot), *RIGHT)
        assert "Snag 3 is open (thread stiff): e closes it." in said(app)
        assert get_snag(archive, "3").is_open
        assert app.screen.query_one(KeyLine).hints[0].key == "e"
        await press((app, pilot), "e")
        assert get_snag(archive, "3").closed_how == "recorded as right when looked over"
        assert "Snag 3 is closed." in said(app)
        assert app.screen.query_one(KeyLine).hints[0].key == "x"


def test_a_pin_in_the_later_picture_is_laid_over_the_one_before() -> None:
    class Twice:
        """Everything is twice as large, from the top left."""

        def __init__(self, by: float) -> None:
            self.by = by

        def place_of(self, x_frac: float, y_frac: float) -> tuple[float, float, float]:
            return x_frac * self.by, y_frac * self.by, self.by

        def reversed(self) -> Twice:
            return Twice(1 / self.by)

    link = ShiftedLink(Twice(2.0), 0.1, -0.2)
    assert link.place_of(0.2, 0.3) == pytest.approx((0.5, 0.4, 2.0))
    assert link.reversed().place_of(0.5, 0.4) == pytest.approx((0.2, 0.3, 0.5))
    assert link.reversed().reversed().place_of(0.2, 0.3) == pytest.approx((0.5, 0.4, 2.0))


async def test_what_is_not_back_has_nothing_to_look_over_and_says_so(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "apostrophe")
        assert "no picture of it after it went back" in said(app)
        await press((app, pilot), "escape", "d", "apostrophe")
        assert "Choose a tag" in said(app)


async def test_an_answer_in_a_spots_pair_names_its_number(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        await press((app, pilot), "a", *"31b", "space", *"can't", "space", *"tell", "space", *"dark", "enter")
        assert last_look(archive) == ("31B", "can't tell", "P0003.jpg", "P0001.jpg", "dark")
        before = archive.store.count_steps()
        await press((app, pilot), "a", *"31", "space", *"maybe", "enter")
        assert '"maybe" is not an answer' in said(app)
        await press((app, pilot), "a", *"77", "space", "r", "enter")
        assert "No single thing has number 77" in said(app)
        assert archive.store.count_steps() == before


async def test_two_pictures_that_were_no_pair_are_made_one(archive: Archive) -> None:
    confirm_pair(archive, 1, 3)
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPairs(1))
        await settle(app, pilot)
        screen = pair_screen(app)
        await press((app, pilot), "x", "comma")
        assert screen.pair is not None
        assert (screen.pair.before_id, screen.pair.after_id) == (1, 2)
        assert "not a pair yet" in screen.where()
        await press((app, pilot), "y")
        assert pair_words(archive)[1, 2] == "pair"
        assert "no pair yet" not in screen.where()
        assert screen.pair in list_pairs(archive)
        await press((app, pilot), "comma")
        assert "No more pictures" in said(app)
        await press((app, pilot), "u")
        assert [(one.before_id, one.after_id) for one in list_pairs(archive)] == [(1, 3)]


async def test_a_spot_without_a_pair_shows_its_first_and_last_picture_to_make_one(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowPairs(2))
        await settle(app, pilot)
        pair = pair_screen(app).pair
        assert pair is not None
        assert (pair.before_id, pair.after_id) == (4, 6)
        assert "y makes them one" in said(app)
        await press((app, pilot), "y")
        assert pair_words(archive)[4, 6] == "pair"


async def test_two_marked_pictures_of_a_spot_are_looked_at_beside_each_other(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        app.post_message(going.ShowSpot(1))
        await settle(app, pilot)
        await press((app, pilot), "right", "space", "right", "space", "x")
        pair = pair_screen(app).pair
        assert pair is not None
        assert (pair.before_id, pair.after_id) == (2, 3)


async def test_the_thing_in_hand_is_written_of_from_its_picture(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "1", "1", "2", "enter", "semicolon")
        assert isinstance(app.screen, TagEntryScreen)
        assert app.screen.tag_id == 1
        await press((app, pilot), "escape", "escape", "d", "semicolon")
        assert isinstance(app.screen, TagEntryScreen)
        assert app.screen.tag_id is None


async def test_the_palette_writes_of_the_thing_in_hand_and_looks_it_over(archive: Archive) -> None:
    off_and_on(archive, "31")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "ctrl+p", *keys("edit tag"), "enter")
        assert isinstance(app.screen, TagEntryScreen)
        assert app.screen.tag_id == tag_of(archive, "31").tag_id
        await press((app, pilot), "escape", "ctrl+p", *keys("look over"), "enter")
        assert "BEFORE · 31A" in pair_screen(app).where()
        await press((app, pilot), "escape", "ctrl+p", *keys("write a tag"), "enter")
        assert isinstance(app.screen, TagEntryScreen)
        assert app.screen.tag_id is None
