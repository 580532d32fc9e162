"""Pictures by the day they were taken."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult

from asfound.tui.entry import ScreenEntry
from asfound.tui.list_screen import NARROW, ListScreen
from asfound.tui.service import DayEntry
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import day_words


class DaysScreen(ListScreen):
    ABOUT = "The days on which pictures were taken, oldest first. Enter shows a day's pictures in order."
    KEY_WORDS = {"enter": "the pictures of the day", **NARROW}

    def __init__(self) -> None:
        super().__init__()
        self.entries: list[DayEntry] = []

    def body(self) -> ComposeResult:
        yield RowList(
            [
                Column("Day", 16),
                Column("Pictures", 8),
                Column("From, to", 13, from_width=66),
                Column("Spots", 10, share=1),
            ],
            empty="No pictures yet.\nPress a to add the phone's folder.",
        )

    def name_of_list(self) -> str:
        return "Days"

    def hints(self) -> Sequence[Hint]:
        return [
            Hint("enter", "enter", "pictures"),
            Hint("slash", "/", "narrow"),
            Hint("s", "s", "spots"),
            Hint("a", "a", "add photos"),
            ESCAPE,
        ]

    def reload(self) -> None:
        self.entries = self.service.days()
        rows = []
        for entry in self.entries:
            times = f"{entry.first_at:%H:%M}, {entry.last_at:%H:%M}" if entry.first_at and entry.last_at else ""
            cells = (day_words(entry.day), str(len(entry.picture_ids)), times, ", ".join(entry.spot_names))
            rows.append(Row(entry.day, cells))
        self.list_rows.set_rows(rows)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = next(entry for entry in self.entries if event.row is not None and entry.day == event.row.key)
        self.archive_app.show_pictures(day_words(entry.day), entry.picture_ids)


SCREEN = ScreenEntry("d", "Days", DaysScreen, DaysScreen.ABOUT)
