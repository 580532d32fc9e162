"""Where work stops, and what is still to be put right."""

from __future__ import annotations

from textual.widgets import Static

from asfound.tui.app import ArchiveApp
from asfound.tui.screens.bags import BagsScreen
from asfound.tui.screens.hold import HoldScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.snags import SnagsScreen
from asfound.tui.screens.tags import TagsScreen
from asfound.tui.widgets.rows import RowList
from tests.tui.fake_service import FakeService
from tests.tui.screens_of import press, running, said


def marks(app: ArchiveApp) -> list[str]:
    return [row.cells[0] for row in app.screen.query_one(RowList).rows]


def top(app: ArchiveApp) -> str:
    return str(app.screen.query_one("#top", Static).render())


async def test_a_hold_lists_what_is_open_and_its_cautions_first_once_a_day() -> None:
    async with running(FakeService()) as (app, pilot):
        await press((app, pilot), "h")
        assert isinstance(app.screen, HoldScreen)
        assert marks(app) == ["!", "!", "□", "□", "□", "?", "□"]
        assert "before lift out" in top(app)
        await press((app, pilot), "right_square_bracket", "left_square_bracket")
        assert marks(app) == ["□", "□", "□", "?", "□", "!", "!"]


async def test_each_row_of_a_hold_leads_to_where_it_is_mended() -> None:
    async with running(FakeService()) as (app, pilot):
        for downs, screen, row in ((0, TagsScreen, "112"), (3, BagsScreen, "B1"), (4, SnagsScreen, "N1")):
            await press((app, pilot), "h", "right_square_bracket", "left_square_bracket", *("j",) * downs, "enter")
            assert isinstance(app.screen, screen)
            chosen = app.screen.query_one(RowList).chosen
            assert chosen is not None
            assert row in chosen.cells


async def test_a_row_is_mended_on_the_spot_and_taken_back() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "h", "right_square_bracket", "left_square_bracket", "o")
        assert service.states == {1: "off"}
        assert marks(app) == ["□", "□", "?", "□", "!", "!"]
        await press((app, pilot), "x")
        assert service.calls[-1][0] == "mark_refitted"
        await press((app, pilot), "u", "u")
        assert service.states == {}
        await press((app, pilot), "j", "j", "j", "o")
        assert "no numbered thing" in said(app)


async def test_of_a_step_taken_back_the_row_that_comes_back_is_the_chosen_one() -> None:
    """The next key writes of it, and would write of another thing if another row were chosen."""
    async with running(FakeService()) as (app, pilot):
        await press((app, pilot), "h", "right_square_bracket", "left_square_bracket", "o", "u")
        chosen = app.screen.query_one(RowList).chosen
        assert chosen is not None
        assert chosen.cells[1] == "112 is on."


async def test_looking_is_a_persons_word_and_promises_nothing() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "h", "y", *("backspace",) * 2, *"yard", "enter")
        assert service.calls[-1] == ("look_at_hold", "before lift out", "yard")
        assert "5 rows open" in said(app)
        assert "safe" not in f"{said(app)}{HoldScreen.ABOUT}".lower()
        assert "looked at 18 Oct 2025 by yard" in top(app)
        await press((app, pilot), "u")
        assert "looked at" not in top(app)


async def test_snags_are_added_dealt_with_and_bought_for() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "p")
        assert marks(app) == ["□", "□"]
        await press((app, pilot), "f")
        assert [row.key for row in app.screen.query_one(RowList).rows] == ["N1"]
        await press((app, pilot), "c")
        assert service.calls[-1] == ("buy_for_snag", "N1", "")
        assert "press a" in app.screen.query_one(RowList).empty_words.lower()
        await press((app, pilot), "f", "a", *"clip", "enter")
        assert service.calls[-1] == ("add_snag", "clip")
        await press((app, pilot), "x", *("backspace",) * 4, *"new", "enter")
        assert service.calls[-1] == ("close_snag", "N3", "new")
        assert marks(app) == ["□", "□", "✓"]
        await press((app, pilot), "home", "enter")
        assert isinstance(app.screen, PictureScreen)


async def test_places_have_a_small_letter_and_a_key_that_works_on_a_picture() -> None:
    async with running(FakeService()) as (app, pilot):
        for key, place in (("b", "bags"), ("l", "log_"), ("n", "fit_next"), ("m", "machine"), ("h", "hold")):
            await press((app, pilot), key, "escape", "escape")
            await press((app, pilot), key)
            assert app.current_mode == place
            await press((app, pilot), "escape")
        await press((app, pilot), "1", "1", "2", "enter")
        assert isinstance(app.screen, PictureScreen)
        await press((app, pilot), "question_mark")
        text = app.screen.text()  # type: ignore[attr-defined]
        assert "\n  f3 " in text  # b draws a box there, and B says which end a number is of
        await press((app, pilot), "escape", "f3")
        assert app.current_mode == "bags"
        await press((app, pilot), "question_mark")
        assert "b B f3" in app.screen.text()  # type: ignore[attr-defined]
