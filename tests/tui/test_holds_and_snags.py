"""Where work stops, and what is still to be put right."""

from __future__ import annotations

from textual.widgets import Static

from asfound.actions.archive import Archive
from asfound.actions.fit import list_holds
from asfound.actions.fluids import list_fluids
from asfound.actions.log import Drained, write_drained
from asfound.actions.snags import get_snag
from asfound.actions.tag import TagWords, change_tag
from asfound.actions.to_buy import list_to_buy, note_purchase
from asfound.tui.app import ArchiveApp
from asfound.tui.screens.bags import BagsScreen
from asfound.tui.screens.hold import HoldScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.screens.snags import SnagsScreen
from asfound.tui.screens.tags import TagsScreen
from asfound.tui.widgets.rows import RowList
from tests.small_changes import come_off, tag_of
from tests.tui.read_back import logged
from tests.tui.screens_of import press, running, said


def marks(app: ArchiveApp) -> list[str]:
    return [row.cells[0] for row in app.screen.query_one(RowList).rows]


def top(app: ArchiveApp) -> str:
    return str(app.screen.query_one("#top", Static).render())


async def test_a_hold_lists_what_is_open_and_its_cautions_first_once_a_day(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "h")
        assert isinstance(app.screen, HoldScreen)
        # Four cautions, and that this is only what the record knows.
        assert [one for one in marks(app) if one] == [*"!!!!!", "□", "?", "?", "?"]
        assert "before lift out" in top(app)
        await press((app, pilot), "right_square_bracket", "left_square_bracket")
        assert [one for one in marks(app) if one] == ["□", "?", "?", "?", *"!!!!!"]


async def test_each_row_of_a_hold_leads_to_where_it_is_mended(archive: Archive) -> None:
    come_off(archive, "112")
    async with running(archive) as (app, pilot):
        for row, screen in (("112", TagsScreen), ("B1", BagsScreen), ("1", SnagsScreen)):
            await press((app, pilot), "h", "right_square_bracket", "right_square_bracket")
            assert "before first start" in top(app)
            while not leads_to(app, row):
                await press((app, pilot), "j")
            await press((app, pilot), "enter")
            assert isinstance(app.screen, screen)
            chosen = app.screen.query_one(RowList).chosen
            assert chosen is not None
            assert row in chosen.cells
            await press((app, pilot), "h", "left_square_bracket", "left_square_bracket", "escape")


def leads_to(app: ArchiveApp, row: str) -> bool:
    """Whether the row in hand is about the thing, bag or snag of that name."""
    assert isinstance(app.screen, HoldScreen)
    chosen = app.screen.chosen
    return chosen is not None and (chosen.why.startswith(f"{row} ") or row in (chosen.bag, chosen.snag))


async def test_a_row_is_mended_on_the_spot_and_taken_back(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "h", "right_square_bracket", "left_square_bracket", "o")
        assert logged(archive) == ["31 off"]
        assert [one for one in marks(app) if one] == ["?", "?", "?", *"!!!!!"]
        await press((app, pilot), "x")
        assert logged(archive) == ["31 off", "110 refitted"]
        await press((app, pilot), "u", "u")
        assert logged(archive) == []
        await press((app, pilot), "j", "j", "j", "o")
        assert "has no tag" in said(app)


async def test_of_a_step_taken_back_the_row_that_comes_back_is_the_chosen_one(archive: Archive) -> None:
    """The next key writes of it, and would write of another thing if another row were chosen."""
    async with running(archive) as (app, pilot):
        await press((app, pilot), "h", "right_square_bracket", "left_square_bracket", "j", "o", "u")
        assert leads_to(app, "110")


async def test_fluid_is_filled_and_looked_at_from_the_hold_before_first_start(archive: Archive) -> None:
    write_drained(archive, Drained("engine oil", "7.5 l", "C2"))
    async with running(archive) as (app, pilot):
        await press((app, pilot), "h", *("right_square_bracket",) * 2, "home")
        rows = app.screen.query_one(RowList)
        at = next(at for at, row in enumerate(rows.rows) if "engine oil was drained" in row.cells[1])
        await press((app, pilot), *("j",) * at, "enter", *"7.5 l", "enter")
        assert "engine oil filled 7.5 l" in said(app)
        (fluid,) = list_fluids(archive)
        assert not fluid.is_open
        at = next(at for at, row in enumerate(rows.rows) if "leaks" in row.cells[1])
        await press((app, pilot), "home", *("j",) * at, "enter", *"leaks looked at", "enter")
        assert list_fluids(archive)[0].leaks is not None
        assert not any("engine oil" in row.cells[1] for row in rows.rows)


async def test_looking_is_a_persons_word_and_promises_nothing(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "h", "y", *("backspace",) * 2, *"yard", "enter")
        assert list_holds(archive)["before lift out"][1] == "yard"
        assert "4 rows open" in said(app)
        assert "safe" not in f"{said(app)}{HoldScreen.ABOUT}".lower()
        assert "looked at 20 Oct 2025 14:00 by yard" in top(app)
        await press((app, pilot), "u")
        assert "looked at" not in top(app)


async def test_snags_are_added_dealt_with_and_bought_for(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "p")
        assert marks(app) == ["□", "□"]
        await press((app, pilot), "f")
        assert [row.key for row in app.screen.query_one(RowList).rows] == ["1"]
        await press((app, pilot), "c")
        assert get_snag(archive, "1").bought_at
        assert "press a" in app.screen.query_one(RowList).empty_words.lower()
        await press((app, pilot), "f", "a", *"clip", "enter")
        assert get_snag(archive, "3").what == "clip"
        await press((app, pilot), "x", *("backspace",) * 4, *"new", "enter")
        assert get_snag(archive, "3").closed_how == "new"
        assert marks(app) == ["□", "□", "✓"]
        await press((app, pilot), "home", "enter")
        assert isinstance(app.screen, PictureScreen)


async def test_what_is_to_be_bought_is_one_list_with_parts_to_replace(archive: Archive) -> None:
    change_tag(archive, tag_of(archive, "110"), TagWords(condition="replace"))
    note_purchase(archive, "gasket set", price="64 EUR")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "p", "f")
        states = [row.cells[4] for row in app.screen.query_one(RowList).rows]
        assert states[1:] == ["to order", "to order"]
        await press((app, pilot), "j", "c")
        assert "is ordered" in said(app)
        await press((app, pilot), "c")
        assert [item.what for item, _words in list_to_buy(archive)] == ["paint", "gasket set"], "the part is here"
        await press((app, pilot), "u")
        assert [item.state for item, _words in list_to_buy(archive)] == ["ordered", "to order", "to order"]


async def test_places_have_a_small_letter_and_a_key_that_works_on_a_picture(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
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
