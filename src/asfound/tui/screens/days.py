"""Pictures by the day they were taken."""

from __future__ import annotations

from textual.app import ComposeResult

from asfound.actions.known import spot_name
from asfound.actions.picture_list import ListedDay, list_days
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowPictures
from asfound.tui.keys import NARROW, Key
from asfound.tui.list_screen import ListScreen
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count, day_words


class DaysScreen(ListScreen):
    ABOUT = "The days on which pictures were taken, oldest first. Enter shows a day's pictures in order."
    KEYS = (
        Key("enter", "", "the pictures of the day", "pictures"),
        NARROW,
        Key("s", "app.go('spots')", "every spot", "spots"),
        Key("a", "app.bring_in", "add photos and clips from a folder or card", "add photos"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.entries: list[ListedDay] = []

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

    def reload(self) -> None:
        self.entries = list_days(self.archive)
        rows = []
        for entry in self.entries:
            times = f"{entry.first_at:%H:%M}, {entry.last_at:%H:%M}" if entry.first_at and entry.last_at else ""
            cells = (day_words(entry.day), str(len(entry.pictures)), times, self._spots(entry))
            rows.append(Row(entry.day, cells))
        self.list_rows.set_rows(rows)

    def _spots(self, entry: ListedDay) -> str:
        """The names of a day's spots, and how many have none."""
        names = [spot_name(self.archive, spot_id) for spot_id in entry.spot_ids]
        without = names.count("")
        unnamed = [f"{count(without, 'spot')} without a name"] if without else []
        return ", ".join([*filter(None, names), *unnamed])

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        entry = next(entry for entry in self.entries if event.row is not None and entry.day == event.row.key)
        picture_ids = [picture.picture_id for picture in entry.pictures]
        self.post_message(ShowPictures(day_words(entry.day), picture_ids))


SCREEN = ScreenEntry("d", "Days", DaysScreen, DaysScreen.ABOUT)
