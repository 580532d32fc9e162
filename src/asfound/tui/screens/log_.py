"""The log: what came off, went back and happened besides, the latest first."""

from __future__ import annotations

from textual.app import ComposeResult

from asfound.actions.log import strike
from asfound.actions.log_list import ListedLine, list_log
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import AskWhatHappened
from asfound.tui.keys import NARROW, UNDO, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import day_words, moment_with_year


class LogScreen(ListScreen):
    ABOUT = (
        "What happened, the latest first. Lines are never changed. A wrong line is struck out by a new one, and both "
        "stay readable. a writes a line here; : does so on every other screen."
    )
    KEYS = (
        Key("enter", "", "how that thing was", "how it was|look"),
        Key(
            "a",
            "add",
            "write a line: the number, what happened, the bag, a note: 17 off bag 4 clip rusted; "
            "a time or a day stands first or last: 14:20 17 off, 17 off yesterday, 18 oct 9:05 17 off",
            "write a line",
        ),
        Key("x", "strike", "strike out this line as wrong", "not so|strike"),
        NARROW,
        UNDO,
    )
    DETAIL_ROWS = 3

    def __init__(self) -> None:
        super().__init__()
        self.entries: list[ListedLine] = []

    def body(self) -> ComposeResult:
        yield RowList(
            [Column("When", 17), Column("Tag", 6), Column("What", 11), Column("", 10, share=1)],
            empty="Nothing has come off yet.\nPress a and type what did: 17 off bag 4 clip rusted",
        )
        yield self.detail_line()

    def name_of_list(self) -> str:
        return "Log, the latest first"

    def reload(self) -> None:
        self.entries = list_log(self.archive)[::-1]
        rows = []
        for entry in self.entries:
            words = f"[not so] {words_of(entry)}" if entry.line.is_struck else words_of(entry)
            rows.append(Row(entry.line.event_id, (when_of(entry), entry.label, entry.happened, words)))
        self.list_rows.set_rows(rows)

    @property
    def chosen(self) -> ListedLine | None:
        return self.chosen_of(self.entries, lambda entry: entry.line.event_id)

    @property
    def tag_in_hand(self) -> tuple[int, str] | None:
        chosen = self.chosen
        return (chosen.card.tag.tag_id, "") if chosen is not None and chosen.card is not None else None

    def detail(self) -> str:
        entry = self.chosen
        if entry is None:
            return ""
        struck = " Struck out by a later line." if entry.line.is_struck else ""
        return f"Line {entry.line.event_id}: {entry.label} {entry.happened}, {words_of(entry)}.{struck}"

    def changed(self, words: str) -> None:
        """A line that was just written is chosen, wherever its time puts it."""
        before = {entry.line.event_id for entry in self.entries}
        super().changed(words)
        written = [entry.line.event_id for entry in self.entries if entry.can_be_struck]
        self.list_rows.choose_key(next((line for line in written if line not in before), None))

    def action_add(self) -> None:
        self.post_message(AskWhatHappened())

    def action_strike(self) -> None:
        entry = self.chosen
        if entry is None:
            return
        if not entry.can_be_struck:
            self.say("This line is struck out already, or strikes out another. u takes the last step back.")
            return
        words = f"{entry.label} {entry.happened}: struck out. u takes it back."
        self.act(lambda: strike(self.archive, entry.line), words)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = self.chosen
        if entry is None or entry.card is None:
            self.say("This line has no tag.")
        else:
            self.show_thing(entry.card.tag.tag_id)


def when_of(entry: ListedLine) -> str:
    """When a line\'s event happened; the day alone where no more is known."""
    return day_words(entry.line.at.date()) if entry.line.is_day_only else moment_with_year(entry.line.at)


def words_of(entry: ListedLine) -> str:
    """The thing\'s name and what the line says besides the event."""
    return ", ".join(filter(None, (entry.name, *entry.words)))


SCREEN = ScreenEntry("l", "Log", LogScreen, LogScreen.ABOUT, more_keys=("D", "f4"))
