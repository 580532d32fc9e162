"""Log, bags, what to fit next, and answers to gaps."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.bags import get_bag
from asfound.actions.fit import pass_hold
from asfound.actions.fitting import fit_after
from asfound.actions.gaps import AnsweredGap, list_answers
from asfound.actions.log import list_lines
from asfound.actions.look_over import look_over
from asfound.core.refit.steps import HoldPoint
from asfound.tui.screens.hold import HoldScreen
from asfound.tui.screens.pair import PairScreen
from asfound.tui.screens.picture import PictureScreen
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.rows import RowList
from tests.small_changes import come_off, go_back_on, off_and_on, tag_of
from tests.tui.read_back import how_last, logged
from tests.tui.screens_of import press, running, said
from tests.tui.test_spots_and_gaps import first_cells


async def test_the_log_shows_the_latest_first_and_strikes_what_is_not_so(archive: Archive) -> None:
    come_off(archive, "112")
    go_back_on(archive, "31")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "D")
        rows = app.screen.query_one(RowList).rows
        assert [row.cells[1:3] for row in rows] == [("31", "refitted"), ("112", "off")]
        await press((app, pilot), "x")
        assert logged(archive) == ["112 off", "31 not so"]
        assert "[not so]" in app.screen.query_one(RowList).rows[1].cells[3]
        await press((app, pilot), "x")
        assert "already" in said(app)
        await press((app, pilot), "j", "enter")
        assert isinstance(app.screen, PictureScreen)


async def test_a_line_is_written_in_the_log_and_of_the_thing_in_hand_anywhere(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "D", "a", *"31_off_bag_4".replace("_", " "), "enter")
        assert logged(archive) == ["31 off"]
        assert tag_of(archive, "31").bag == "4"
        assert app.screen.query_one(RowList).rows[0].cells[1:3] == ("31", "off")
        assert "31 injector plug, cylinder 1: off, bag 4." in said(app)
        await press((app, pilot), "a", *"what", "enter")
        assert "is not understood" in said(app)
        assert app.screen.query_one(AskLine).field.has_focus  # the line stands there to be mended
        await press((app, pilot), "escape", "t", "j", "colon", *"off", "enter")
        assert logged(archive) == ["31 off", "110 off"]
        await press((app, pilot), "u")
        assert "Taken back: 110 off" in said(app)
        assert logged(archive) == ["31 off"]


async def test_a_number_that_is_typed_takes_the_place_of_the_thing_in_hand(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "j", "colon", *"31_off".replace("_", " "), "enter")
        assert logged(archive) == ["31 off"]  # nothing was written of 110, which was in hand


async def test_a_line_that_is_refused_is_mended_where_it_was_typed(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "t", "j", "colon", *"of", "enter")
        foot = app.screen.query_one("#foot")
        assert "is not understood" in str(foot.render())  # where it is seen: the line lies over the screen's words
        assert "esc" in str(foot.render())
        await pilot.pause()
        assert foot.region.bottom <= app.size.height
        assert foot.region.height >= 2  # all of it is in sight
        await press((app, pilot), "f", "enter")
        assert logged(archive) == ["110 off"]


async def test_the_line_that_was_just_written_is_the_one_in_hand(archive: Archive) -> None:
    come_off(archive, "112")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "l", "a", *"off_31_13".replace("_", " "), "colon", *"20", "enter")
        assert [f"{line.at:%H:%M}" for line in list_lines(archive)] == ["13:20", "14:00"]
        assert app.screen.query_one(RowList).chosen.cells[1] == "31"
        await press((app, pilot), "x")
        assert logged(archive) == ["112 off", "31 not so"]


async def test_a_bag_without_a_tag_is_given_one_and_a_bag_leads_to_its_thing(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "B", "j", "enter")
        assert "e enters them" in said(app)
        await press((app, pilot), "e", "3", "1", "enter")
        assert tag_of(archive, "31").bag == "B8"
        assert "Bag B8 is for 31." in said(app)
        await press((app, pilot), "k", "enter")
        assert isinstance(app.screen, PictureScreen)


async def test_a_bag_is_counted_back_and_a_short_count_is_said(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "B")
        bags = app.screen.query_one(RowList)
        assert [row.cells[:2] for row in bags.rows] == [("□", "B1"), ("", "B8")]
        await press((app, pilot), "c", "3", "enter")
        assert get_bag(archive, "B1").count_back == 3
        assert "3 counted, 4 went in" in said(app)
        assert bags.rows[0].cells[:2] == ("!", "B1")
        await press((app, pilot), "c", "x", "enter")
        assert "is not a count" in said(app)


async def test_what_is_free_to_fit_stands_first_and_x_goes_on(archive: Archive) -> None:
    come_off(archive, "112", "31")
    fit_after(archive, tag_of(archive, "112"), [tag_of(archive, "31")])
    pass_hold(archive, HoldPoint.LIFT_IN, "yard")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "F")
        rows = app.screen.query_one(RowList).rows
        assert [row.cells[:2] for row in rows] == [("●", "31"), ("○", "112"), ("○", "hold")]
        assert rows[1].cells[4] == "31"
        await press((app, pilot), "x")
        assert how_last(archive) == ("31", "by hand")
        assert app.screen.query_one(RowList).rows[0].cells[:2] == ("●", "112")
        await press((app, pilot), "c")
        assert how_last(archive) == ("112", "tight")
        assert "Nothing is written down as off" in app.screen.query_one(RowList).empty_words


async def test_what_undo_brings_back_is_chosen_so_that_the_next_key_is_meant_for_it(archive: Archive) -> None:
    come_off(archive, "112", "31", "110")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "n", "down", "x")
        ticked = logged(archive)
        await press((app, pilot), "home", "u")
        assert "Taken back" in said(app)
        await press((app, pilot), "x")
        assert logged(archive) == ticked


async def test_a_hold_among_the_steps_leads_to_what_is_open_at_it(archive: Archive) -> None:
    come_off(archive, "112")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "n", "end", "enter")
        assert isinstance(app.screen, HoldScreen)
        assert app.screen.hold.point == "before first start"


async def test_what_was_called_wrong_stands_first_until_it_is_called_right(archive: Archive) -> None:
    come_off(archive, "112")
    off_and_on(archive, "31")
    look_over(archive, tag_of(archive, "31"), "wrong", note="latch open")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "n")
        row = app.screen.query_one(RowList).rows[0]
        assert (row.cells[0], row.cells[1], row.cells[4]) == ("!", "31", "recorded as wrong: latch open")
        assert "1 to look at again" in app.screen.where()  # type: ignore[attr-defined]
        await press((app, pilot), "apostrophe")
        assert isinstance(app.screen, PairScreen)


async def test_days_are_narrowed(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "d", "slash", *"19", "enter")
        assert first_cells(app) == ["Sun 19 Oct 2025"]
        await press((app, pilot), "escape")
        assert len(first_cells(app)) == 2


async def test_fitting_out_of_order_is_done_and_said(archive: Archive) -> None:
    come_off(archive, "112", "31")
    fit_after(archive, tag_of(archive, "112"), [tag_of(archive, "31")])
    pass_hold(archive, HoldPoint.LIFT_IN, "yard")
    async with running(archive) as (app, pilot):
        await press((app, pilot), "F", "j", "x")
        assert "It was meant to wait for 31." in said(app)


async def test_a_gap_is_answered_where_it_stands(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "g", "j", "a", *"none", "enter")
        assert AnsweredGap("never photographed", "110", "none") in list_answers(archive)
        assert '110: "none". 1 gap closed.' in said(app)
