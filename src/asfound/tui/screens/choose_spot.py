"""Where pictures belong instead: another spot, a new one, none."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from textual.app import ComposeResult

from asfound.actions.spot_list import ListedSpot, likely_spots, list_spots_seen
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import NEW_SPOT, NO_SPOT, ChooseSpot, GoBack
from asfound.tui.keys import NARROW, Key
from asfound.tui.spot_list import SpotListScreen
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import spot_words


class ChooseSpotScreen(SpotListScreen):
    ABOUT = "Choose a spot. Nothing changes before Enter, and u takes it back afterwards."
    KEYS = (
        Key("enter", "", "this one", "this one|choose"),
        NARROW,
        Key("escape", "back", "leave everything as it is", shown="esc"),
    )

    def __init__(self, asked: ChooseSpot) -> None:
        super().__init__()
        self.asked = asked

    def body(self) -> ComposeResult:
        columns = [Column("Spot", 14, share=3), Column("Pictures", 8), Column("Tags", 6, share=2, from_width=34)]
        yield from self.with_preview(columns, "There is no other spot.")

    def name_of_list(self) -> str:
        return self.asked.question

    def reload(self) -> None:
        rows = []
        likely = likely_spots(self.archive, tuple(self.asked.near))
        for entry in sorted(list_spots_seen(self.archive), key=partial(self._order, likely)):
            if entry.spot.spot_id != self.asked.but:
                pictures = str(len(entry.spot.picture_ids))
                rows.append(Row(entry.spot.spot_id, (spot_words(entry.spot), pictures, " ".join(entry.numbers))))
        if self.asked.with_others:
            rows[1:1] = [Row(NEW_SPOT, ("a new spot", "", "")), Row(NO_SPOT, ("no spot", "", ""))]
        self.list_rows.set_rows(rows)

    def _order(self, likely: Sequence[int], entry: ListedSpot) -> int:
        """Spots that look like the pictures come first, the others in their own order."""
        return likely.index(entry.spot.spot_id) if entry.spot.spot_id in likely else len(likely)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        assert event.row is not None
        key = event.row.key
        self.post_message(GoBack())
        self.asked.chosen(key if isinstance(key, int) else str(key))


SCREEN = ScreenEntry("", "Choose a spot", ChooseSpotScreen, ChooseSpotScreen.ABOUT)
