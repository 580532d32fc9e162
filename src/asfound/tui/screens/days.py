"""Pictures by the day they were taken."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult

from asfound.tui.base import ArchiveScreen
from asfound.tui.entry import ScreenEntry
from asfound.tui.widgets.key_line import Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import day_words


class DaysScreen(ArchiveScreen):
    ABOUT = "The days on which pictures were taken, oldest first. Enter shows a day's pictures in order."
    KEY_WORDS = {"enter": "the pictures of the day"}

    def body(self) -> ComposeResult:
        yield RowList(
            [Column("Day", 16), Column("Pictures", 8), Column("From, to", 13), Column("Spots", 10, share=1)],
            empty="No pictures yet. Press esc, then a, to add the phone's folder.",
        )

    def where(self) -> str:
        return "Days"

    def hints(self) -> Sequence[Hint]:
        return [Hint("enter", "enter", "pictures"), Hint("escape", "esc", "back"), Hint("s", "s", "spots")]

    def reload(self) -> None:
        rows = []
        for entry in self.service.days():
            times = f"{entry.first_at:%H:%M}, {entry.last_at:%H:%M}" if entry.first_at and entry.last_at else ""
            cells = (day_words(entry.day), str(len(entry.picture_ids)), times, ", ".join(entry.spot_names))
            rows.append(Row(entry.day, cells))
        self.query_one(RowList).set_rows(rows)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        row = event.row
        assert row is not None
        entry = next(entry for entry in self.service.days() if entry.day == row.key)
        self.archive_app.show_pictures(day_words(entry.day), entry.picture_ids)


SCREEN = ScreenEntry("d", "Days", DaysScreen, DaysScreen.ABOUT)
