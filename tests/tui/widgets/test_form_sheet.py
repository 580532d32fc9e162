"""A form in a running app: typing is the same as in every other line, and the field lies where its text stands."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

import pytest
from textual import events
from textual.app import ComposeResult
from textual.pilot import Pilot

from asfound.core.log.tag_fields import TagField
from asfound.tui.keys_in_turn import KeysInTurn
from asfound.tui.widgets.form_sheet import FormSheet

FIELDS = (
    TagField("number", "Number", "as on the tape"),
    TagField("kind", "Kind", "what it is", choices=("coolant hose", "fuel line", "wire")),
    TagField("name", "Name", "in your own words"),
    TagField("place", "Place", "where it sits", end="A"),
    TagField("place", "Place", "where it sits", end="B"),
    TagField("bag", "Bag", "labels, with a comma between"),
    TagField("note", "Note", "anything else"),
)


class FormApp(KeysInTurn):
    AUTO_FOCUS = "TextField"

    def __init__(self) -> None:
        super().__init__()
        self.left: list[str] = []
        self.entered = 0

    def compose(self) -> ComposeResult:
        yield FormSheet(FIELDS, wide=frozenset({"number", "note"}))

    def on_form_sheet_left(self, event: FormSheet.Left) -> None:
        self.left.append(event.key)

    def on_form_sheet_entered(self) -> None:
        self.entered += 1

    @property
    def sheet(self) -> FormSheet:
        return self.query_one(FormSheet)

    @property
    def rows(self) -> list[str]:
        """The screen as text."""
        return [strip.text for strip in self.screen._compositor.render_strips()]


Running = tuple[FormApp, Pilot[None]]


@asynccontextmanager
async def form(size: tuple[int, int] = (80, 8), at: str = "number", **texts: str) -> AsyncIterator[Running]:
    app = FormApp()
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        app.sheet.fill({"number": "17", **texts}, at=at)
        await settle((app, pilot))
        yield app, pilot


async def settle(run: Running) -> None:
    app, pilot = run
    await pilot.pause()
    while app.waits_for_keys:
        await pilot.pause()


async def press(run: Running, *keys: str) -> None:
    for key in keys:
        run[0].post_message(events.Key(key, key if len(key) == 1 else None))
    await settle(run)


async def paste(run: Running, text: str) -> None:
    run[0].post_message(events.Paste(text))
    await settle(run)


@pytest.mark.parametrize(
    ("keys", "text"),
    [
        (["8"], "8"),
        (["end", "8"], "178"),
        (["right", "8"], "178"),
        (["left", "8"], "817"),
        (["home", "delete"], "7"),
        (["end", "left", "8"], "187"),
        (["end", "ctrl+u", "8"], "8"),
        (["end", "left", "ctrl+u"], "7"),
        (["end", "shift+left", "8"], "18"),
        (["backspace"], ""),
        (["ctrl+x"], ""),
        (["é", "燃"], "é燃"),
    ],
)
async def test_a_field_is_typed_in_as_every_other_line(keys: list[str], text: str) -> None:
    async with form() as run:
        await press(run, *keys)
        assert run[0].sheet.text == run[0].sheet.texts["number"] == text


async def test_a_paste_replaces_what_stands_there_or_goes_where_the_cursor_is() -> None:
    async with form(name="old hose") as run:
        await paste(run, "18\n")
        await press(run, "tab", "tab", "home")
        await paste(run, "very ")
        assert run[0].sheet.texts == {"number": "18", "name": "very old hose"}


async def test_a_field_that_tab_comes_to_is_selected_and_a_cursor_key_keeps_it() -> None:
    async with form(name="old hose", at="kind") as run:
        await press(run, "tab", *"wire", "tab", "shift+tab", "end", "s")
        assert run[0].sheet.texts["name"] == "wires"


async def test_two_hundred_keys_at_once_all_arrive_in_the_fields_they_were_meant_for() -> None:
    async with form(at="name") as run:
        for _ in range(20):
            await press(run, *"abcd", "tab", *"efg", "shift+tab", "end")
        assert run[0].sheet.texts == {"number": "17", "name": "abcd" + "abcd" * 19, "place A": "efg"}


async def test_all_keys_of_a_burst_go_to_the_field_in_hand_then() -> None:
    async with form(at="name") as run:
        await press(run, *"hose", "tab", *"pump", "tab", *"tank", "enter")
        texts = run[0].sheet.texts
        assert (texts["name"], texts["place A"], texts["place B"]) == ("hose", "pump", "tank")
        assert run[0].left == ["name", "place A"]
        assert run[0].entered == 1


async def test_the_way_a_word_goes_on_is_shown_and_the_right_key_takes_it() -> None:
    async with form(at="place A") as run:
        run[0].sheet.use({"place": ["pump inlet", "tank"]})
        await press(run, "p", "u")
        assert "pump inlet" in run[0].rows[2]
        assert run[0].sheet.text == "pu"
        await press(run, "left")
        assert "pump" not in run[0].rows[2]
        await press(run, "right", "right", "!")
        assert run[0].sheet.text == "pump inlet!"


async def test_a_word_chosen_by_the_arrows_stands_when_the_field_is_left() -> None:
    async with form(at="place A") as run:
        run[0].sheet.use({"place": ["pump inlet", "tank"]})
        await press(run, "down", "down", "tab", "down", "right", "s", "enter")
        assert run[0].sheet.texts["place A"] == "tank"
        assert run[0].sheet.texts["place B"] == "pump inlets"


async def test_the_beginning_of_a_kind_is_enough() -> None:
    async with form(at="kind") as run:
        await press(run, *"fu", "tab", "shift+tab")
        assert run[0].sheet.text == "fuel line"


async def test_a_click_takes_a_field_in_hand_with_the_cursor_where_it_points() -> None:
    async with form(name="old hose") as run:
        name = run[0].sheet.page.places[2]
        await run[1].click(FormSheet, offset=(name.start + 4, name.row))
        await settle(run)
        await press(run, "x")
        assert run[0].sheet.texts["name"] == "old xhose"
        assert run[0].left == ["number"]


@pytest.mark.parametrize("size", [(80, 8), (48, 4), (40, 3)])
async def test_the_field_in_hand_is_seen_beside_its_title_at_every_size(size: tuple[int, int]) -> None:
    async with form(size) as run:
        for place, field in enumerate(FIELDS):
            if place:
                await press(run, "tab")
            await press(run, *"up")
            (row,) = [row for row in run[0].rows if "▸ " in row]
            title = f"{field.end} {field.title.lower()}" if field.end else field.title
            assert f"▸ {title}" in row
            assert "up" in row.partition("▸")[2].removeprefix(" " + title)


async def test_the_field_goes_along_when_the_page_is_scrolled() -> None:
    async with form((80, 2), at="note") as run:
        before = run[0].sheet.text_field.region.y
        run[0].sheet.page.scroll_to(y=0, animate=False, force=True, immediate=True)
        await settle(run)
        assert run[0].sheet.text_field.styles.offset.y.value > before


async def test_texts_laid_over_those_that_stand_there_leave_a_cursor_where_it_is() -> None:
    async with form(at="name") as run:
        await press(run, *"hose", "left")
        run[0].sheet.texts = {**run[0].sheet.texts, "note": "known"}
        await press(run, "x")
        assert run[0].sheet.texts == {"number": "17", "name": "hosxe", "note": "known"}
