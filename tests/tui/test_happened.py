"""`:` on the screens: what a line is read as, and which reading is meant."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.log import list_lines
from asfound.tui.widgets.ask_line import AskLine
from tests.tui.screens_of import press, running


async def test_what_enter_writes_is_shown_while_it_is_typed(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "D", "a", *"31_off".replace("_", " "))
        assert "reads: 31: off" in str(app.screen.query_one("#foot").render())
        assert list_lines(archive) == []


async def test_of_two_readings_the_one_that_is_meant_is_chosen_by_its_number(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "D", "a", *"31_off,_snapped".replace("_", " "), "enter")
        foot = str(app.screen.query_one("#foot").render())
        assert "1  31: off; 31: broken" in foot
        assert "2  31: off, snapped" in foot
        assert list_lines(archive) == []
        await press((app, pilot), "1", "enter")
        assert [line.kind for line in list_lines(archive)] == ["off", "broken"]
        await press((app, pilot), "u")
        assert list_lines(archive) == []


async def test_another_answer_leaves_the_line_to_be_typed_again(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await press((app, pilot), "D", "a", *"31_off,_snapped".replace("_", " "), "enter", "7", "enter")
        assert list_lines(archive) == []
        assert app.screen.query_one(AskLine).field.value == "31 off, snapped"
