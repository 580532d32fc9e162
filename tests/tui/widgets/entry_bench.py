"""A screen with every line of the bottom, to type in without an archive."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, field

from textual import events
from textual.app import ComposeResult
from textual.pilot import Pilot
from textual.screen import Screen

from asfound.tui.keys_in_turn import KeysInTurn
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.entry_line import EntryLine
from asfound.tui.widgets.filter_line import FilterLine
from asfound.tui.widgets.number_box import NumberBox
from asfound.tui.widgets.rows import Column, Row, RowList

NAMES = ("fuel hose", "fuel return", "coolant hose", "燃料ホース")
CHARACTERS = {"space": " ", "slash": "/"}


class BenchScreen(Screen[None]):
    DEFAULT_CSS = "BenchScreen { layers: base over; }"

    def compose(self) -> ComposeResult:
        yield RowList([Column("Name", 10, share=1)])
        yield NumberBox()
        yield AskLine()
        yield FilterLine()

    def on_mount(self) -> None:
        rows = self.query_one(RowList)
        rows.set_rows([Row(name, (name,)) for name in NAMES])
        self.set_focus(rows)

    def on_key(self, event: events.Key) -> None:
        if event.character and event.character.isdigit():
            event.stop()
            self.query_one(NumberBox).open(event.character, find=lambda words: [])
        elif event.character == "/":
            event.stop()
            self.query_one(FilterLine).open(self.query_one(RowList))

    def on_number_box_done(self, event: NumberBox.Done) -> None:
        assert isinstance(self.app, EntryBench)
        self.app.done.append(event.words + " " * event.by_space)


class EntryBench(KeysInTurn):
    """The screen, and what came out of its lines."""

    def __init__(self) -> None:
        super().__init__()
        self.done: list[str] = []

    def on_mount(self) -> None:
        self.push_screen(BenchScreen())


@dataclass
class Bench:
    """A running screen, and what a person does there."""

    app: EntryBench
    pilot: Pilot[None]
    answers: list[str] = field(default_factory=list)

    def open(self, kind: type[EntryLine], text: str = "") -> EntryLine:
        """Open a line with a text that stands there already, as a screen does."""
        line = self.app.screen.query_one(kind)
        if isinstance(line, NumberBox):
            line.open(text, find=lambda words: [])
        elif isinstance(line, FilterLine):
            rows = self.app.screen.query_one(RowList)
            rows.narrow(text)
            line.open(rows)
        elif isinstance(line, AskLine):
            line.ask("Name", self.answers.append, words=text)
        return line

    async def press(self, *keys: str) -> None:
        """Press keys; a single letter stands for itself."""
        self.type_at_once(*keys)
        await self.settle()

    def type_at_once(self, *keys: str) -> None:
        """Send keys as a slow line does: all together, before the first is looked at."""
        for key in keys:
            self.app.post_message(events.Key(key, key if len(key) == 1 else CHARACTERS.get(key)))

    async def paste(self, text: str) -> None:
        """Paste as a terminal does."""
        self.app.post_message(events.Paste(text))
        await self.settle()

    async def settle(self) -> None:
        await self.pilot.pause()
        while self.app.waits_for_keys:
            await self.pilot.pause()


@asynccontextmanager
async def bench(size: tuple[int, int] = (80, 24)) -> AsyncIterator[Bench]:
    app = EntryBench()
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        yield Bench(app, pilot)
