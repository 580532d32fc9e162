"""The log: what came off, went back and happened besides, the latest first."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.binding import Binding

from asfound.tui.entry import ScreenEntry
from asfound.tui.list_screen import NARROW, ListScreen
from asfound.tui.records import LogEntry
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.widgets.rows import Column, Row, RowList


class LogScreen(ListScreen):
    ABOUT = (
        "What happened, the latest first. Lines are never changed: one that is not so is struck out by a new line, "
        "and both stay to be read. a writes a new one, on every other screen : does."
    )
    KEY_WORDS = {
        "enter": "how that thing was",
        "a": "write a line: the number, what happened, the bag, a note: 17 off bag 4 clip rusted; "
        "a time or a day stands first or last: 14:20 17 off, 17 off yesterday, 18 oct 9:05 17 off",
        "x": "this line is not so: strike it out",
        "u": "takes the last step back",
        **NARROW,
    }
    BINDINGS = [
        Binding("a", "add", "write a line", show=False),
        Binding("x", "strike", "not so", show=False),
    ]
    DETAIL_ROWS = 3

    def __init__(self) -> None:
        super().__init__()
        self.entries: list[LogEntry] = []

    def body(self) -> ComposeResult:
        yield RowList(
            [Column("When", 17), Column("Tag", 6), Column("What", 11), Column("", 10, share=1)],
            empty="Nothing has come off yet.\nPress a and type what did: 17 off bag 4 clip rusted",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        return "Log, the latest first"

    def hints(self) -> Sequence[Hint]:
        return [
            Hint("enter", "enter", "how it was", "look"),
            Hint("a", "a", "write a line"),
            Hint("x", "x", "not so", "strike"),
            Hint("slash", "/", "narrow"),
            Hint("u", "u", "undo"),
            ESCAPE,
        ]

    def reload(self) -> None:
        self.entries = self.service.log_lines()
        rows = []
        for entry in self.entries:
            words = f"[not so] {entry.words}" if entry.is_struck else entry.words
            rows.append(Row(entry.line, (entry.when, entry.label, entry.happened, words)))
        self.list_rows.set_rows(rows)

    @property
    def chosen(self) -> LogEntry | None:
        return self.chosen_of(self.entries, lambda entry: entry.line)

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        chosen = self.chosen
        return (chosen.tag_id, "") if chosen is not None and chosen.tag_id is not None else None

    def detail(self) -> str:
        entry = self.chosen
        if entry is None:
            return ""
        struck = " A later line says that this is not so." if entry.is_struck else ""
        return f"Line {entry.line}: {entry.label} {entry.happened}, {entry.words}.{struck}"

    def changed(self, words: str) -> None:
        """A line that was just written is chosen, wherever its time puts it."""
        before = {entry.line for entry in self.entries}
        super().changed(words)
        written = [entry.line for entry in self.entries if entry.can_be_struck and entry.line not in before]
        if written:
            self.list_rows.choose_key(written[0])

    def action_add(self) -> None:
        self.archive_app.ask_what_happened()

    def action_strike(self) -> None:
        entry = self.chosen
        if entry is None:
            return
        if not entry.can_be_struck:
            self.say("This line is struck out already, or strikes one out itself. u takes the last step back.")
            return
        words = f"{entry.label} {entry.happened}: struck out as not so. u takes it back."
        self.act(lambda: self.service.strike(entry.line), words)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = self.chosen
        if entry is None or entry.tag_id is None:
            self.say("This line is about no numbered thing.")
        else:
            self.show_thing(entry.tag_id)


SCREEN = ScreenEntry("l", "Log", LogScreen, LogScreen.ABOUT, more_keys=("D", "f4"))
