"""Every spot, with a picture of the chosen one."""

from __future__ import annotations

from textual.app import ComposeResult

from asfound.actions.spot_list import list_spots_seen, read_spot
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import ShowPairs, ShowSpot
from asfound.tui.keys import NARROW, UNDO, Key
from asfound.tui.spot_fixing import SpotFixing
from asfound.tui.spot_list import SpotListScreen
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import moment_words, spot_words

FIRST_SEEN, BY_NAME, MOST_PICTURES = "order: first seen", "by name", "most pictures first"
ORDERS = (FIRST_SEEN, BY_NAME, MOST_PICTURES)


class SpotsScreen(SpotListScreen):
    ABOUT = "Places on the machine, in the order they were first photographed. Enter shows a spot's pictures."
    KEYS = (
        Key("enter", "", "the pictures of the spot", "pictures"),
        Key("x", "pairs", "before and after", "before, after|compare"),
        Key("r,c", "name", "name the spot", "name"),
        NARROW,
        Key("o", "order", "order: first seen, by name, most pictures", "order"),
        UNDO,
    )

    def __init__(self) -> None:
        super().__init__()
        self.order = FIRST_SEEN
        self.fixing = SpotFixing(self)

    def body(self) -> ComposeResult:
        yield from self.with_preview(
            [
                Column("Spot", 14, share=3),
                Column("Pictures", 8),
                Column("First seen", 12, from_width=44),
                Column("Tags", 6, share=2, from_width=34),
            ],
            "No spots yet.\nThey appear when pictures of one place have been added:\npress esc, then a.",
        )

    def name_of_list(self) -> str:
        return f"Spots, {self.order}"

    def reload(self) -> None:
        entries = list_spots_seen(self.archive)
        if self.order == BY_NAME:
            entries = sorted(entries, key=lambda one: (not one.spot.name, one.spot.name.casefold(), one.spot.spot_id))
        elif self.order == MOST_PICTURES:
            entries = sorted(entries, key=lambda one: -len(one.spot.picture_ids))
        rows = []
        for entry in entries:
            cells = (
                spot_words(entry.spot),
                str(len(entry.spot.picture_ids)),
                moment_words(entry.first_at) if entry.first_at else "",
                " ".join(entry.numbers),
            )
            rows.append(Row(entry.spot.spot_id, cells))
        self.list_rows.set_rows(rows)

    def action_order(self) -> None:
        self.order = ORDERS[(ORDERS.index(self.order) + 1) % len(ORDERS)]
        self.reload()
        self.refresh_lines()

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        if self.chosen is not None:
            self.post_message(ShowSpot(self.chosen))

    def action_pairs(self) -> None:
        if self.chosen is not None and len(read_spot(self.archive, self.chosen).spot.picture_ids) > 1:
            self.post_message(ShowPairs(self.chosen))
        else:
            self.say("Before and after needs two pictures of one spot.")

    def action_name(self) -> None:
        if self.chosen is not None:
            self.fixing.ask_for_name(self.chosen)


SCREEN = ScreenEntry("s", "Spots", SpotsScreen, SpotsScreen.ABOUT)
