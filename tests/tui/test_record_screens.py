"""Log, bags, what to fit next, and answers to gaps."""

from __future__ import annotations

from asfound.tui.screens.hold import HoldScreen
from asfound.tui.screens.pair import PairScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.rows import RowList
from tests.tui.fake_service import FakeService
from tests.tui.screens_of import press, running, said
from tests.tui.test_spots_and_gaps import first_cells


async def test_the_log_shows_the_latest_first_and_strikes_what_is_not_so() -> None:
    service = FakeService()
    service.states = {1: "off", 2: "refitted"}
    async with running(service) as (app, pilot):
        await press((app, pilot), "D")
        rows = app.screen.query_one(RowList).rows
        assert [row.cells[1:3] for row in rows] == [("31", "refitted"), ("112", "off")]
        await press((app, pilot), "x")
        assert service.calls[-1] == ("strike", 2)
        assert "[not so]" in app.screen.query_one(RowList).rows[0].cells[3]
        await press((app, pilot), "x")
        assert "already" in said(app)
        await press((app, pilot), "j", "enter")
        assert isinstance(app.screen, PictureScreen)


async def test_a_line_is_written_in_the_log_and_of_the_thing_in_hand_anywhere() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "D", "a", *"31_off_bag_4".replace("_", " "), "enter")
        assert service.calls[-1] == ("write_happened", "31 off bag 4")
        assert app.screen.query_one(RowList).rows[0].cells[1:3] == ("31", "off")
        assert "31: off" in said(app)
        await press((app, pilot), "a", *"what", "enter")
        assert "Begin with the number" in said(app)
        assert app.screen.query_one(AskLine).field.has_focus  # the line stands there to be mended
        await press((app, pilot), "escape", "t", "j", "colon", *"off", "enter")
        assert service.calls[-1] == ("write_happened", "110 off")
        await press((app, pilot), "u")
        assert "Taken back: 110 off" in said(app)


async def test_a_number_that_is_typed_takes_the_place_of_the_thing_in_hand() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "t", "j", "colon", *"31_off".replace("_", " "), "enter")
        assert service.calls[-1] == ("write_happened", "31 off")
        assert service.states == {2: "off"}  # nothing was written of 110, which was in hand


async def test_a_line_that_is_refused_is_mended_where_it_was_typed() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "t", "j", "colon", *"of", "enter")
        foot = app.screen.query_one("#foot")
        assert "Begin with the number" in str(foot.render())  # where it is seen: the line lies over the screen's words
        assert "esc" in str(foot.render())
        await pilot.pause()
        assert foot.region.bottom <= app.size.height
        assert foot.region.height == 4
        await press((app, pilot), "f", "enter")
        assert service.calls[-1] == ("write_happened", "110 off")


async def test_the_line_that_was_just_written_is_the_one_in_hand() -> None:
    service = FakeService()
    service.states = {1: "off"}
    async with running(service) as (app, pilot):
        await press((app, pilot), "l", "a", *"off_31_14".replace("_", " "), "colon", *"20", "enter")
        assert service.calls[-1] == ("write_happened", "off 31 14:20")
        assert app.screen.query_one(RowList).chosen.cells[1] == "31"
        await press((app, pilot), "x")
        assert service.calls[-1] == ("strike", 2)


async def test_a_bag_without_a_tag_is_given_one_and_a_bag_leads_to_its_thing() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "B", "j", "enter")
        assert "e says which tags" in said(app)
        await press((app, pilot), "e", "3", "1", "enter")
        assert service.calls[-1] == ("bag_is_for", "B8", "31")
        assert "Bag B8 is for 31." in said(app)
        await press((app, pilot), "k", "enter")
        assert isinstance(app.screen, PictureScreen)


async def test_a_bag_is_counted_back_and_a_short_count_is_said() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "B")
        bags = app.screen.query_one(RowList)
        assert [row.cells[:2] for row in bags.rows] == [("□", "B1"), ("", "B8")]
        await press((app, pilot), "c", "3", "enter")
        assert service.calls[-1] == ("count_back", "B1", 3)
        assert "3 counted, 4 went in" in said(app)
        assert bags.rows[0].cells[:2] == ("!", "B1")
        await press((app, pilot), "c", "x", "enter")
        assert "is no count" in said(app)


async def test_what_is_free_to_fit_stands_first_and_x_goes_on() -> None:
    service = FakeService()
    service.states = {2: "off", 1: "off"}
    async with running(service) as (app, pilot):
        await press((app, pilot), "F")
        rows = app.screen.query_one(RowList).rows
        assert [row.cells[:2] for row in rows] == [("●", "31"), ("○", "112"), ("○", "hold")]
        assert rows[1].cells[4] == "31"
        await press((app, pilot), "x")
        assert service.calls[-1] == ("mark_refitted", 2, "by hand")
        assert app.screen.query_one(RowList).rows[0].cells[:2] == ("●", "112")
        await press((app, pilot), "c")
        assert service.calls[-1] == ("mark_refitted", 1, "tight")
        assert "Nothing is written down as off" in app.screen.query_one(RowList).empty_words


async def test_what_undo_brings_back_is_chosen_so_that_the_next_key_is_meant_for_it() -> None:
    service = FakeService()
    service.states = {3: "off", 2: "off", 1: "off"}
    async with running(service) as (app, pilot):
        await press((app, pilot), "n", "down", "x")
        ticked = service.calls[-1]
        await press((app, pilot), "home", "u")
        assert "Taken back" in said(app)
        await press((app, pilot), "x")
        assert service.calls[-1] == ticked


async def test_a_hold_among_the_steps_leads_to_what_is_open_at_it() -> None:
    service = FakeService()
    service.states = {1: "off"}
    async with running(service) as (app, pilot):
        await press((app, pilot), "n", "end", "enter")
        assert isinstance(app.screen, HoldScreen)
        assert app.screen.hold.name == "before first start"


async def test_what_was_called_wrong_stands_first_until_it_is_called_right() -> None:
    service = FakeService()
    service.states = {1: "off", 2: "refitted"}
    service.wrong = {2: "called wrong: latch open"}
    async with running(service) as (app, pilot):
        await press((app, pilot), "n")
        row = app.screen.query_one(RowList).rows[0]
        assert (row.cells[0], row.cells[1], row.cells[4]) == ("!", "31", "called wrong: latch open")
        assert "1 to look at again" in app.screen.where()  # type: ignore[attr-defined]
        await press((app, pilot), "apostrophe")
        assert isinstance(app.screen, PairScreen)


async def test_days_are_narrowed() -> None:
    async with running(FakeService()) as (app, pilot):
        await press((app, pilot), "d", "slash", *"19", "enter")
        assert first_cells(app) == ["Sun 19 Oct 2025"]
        await press((app, pilot), "escape")
        assert len(first_cells(app)) == 2


async def test_fitting_out_of_order_is_done_and_said() -> None:
    service = FakeService()
    service.states = {2: "off", 1: "off"}
    async with running(service) as (app, pilot):
        await press((app, pilot), "F", "j", "x")
        assert "It was to wait for 31." in said(app)


async def test_a_gap_is_answered_where_it_stands() -> None:
    service = FakeService()
    async with running(service) as (app, pilot):
        await press((app, pilot), "g", "j", "a", *"none", "enter")
        assert service.calls[-1] == ("answer_gap", "tag 2 B", "one end only", "none")
        assert '31B: "none". 1 gap closed.' in said(app)
