"""Where pictures belong instead: another spot, a new one, none."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from textual.app import ComposeResult

from asfound.tui.entry import ScreenEntry
from asfound.tui.list_screen import NARROW
from asfound.tui.service import SpotEntry
from asfound.tui.spot_list import SpotListScreen
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import spot_words

NEW, NONE = "new", "none"
Choice = int | str
"""A spot's id, `NEW` or `NONE`."""


class ChooseSpotScreen(SpotListScreen):
    ABOUT = "Choose a spot. Nothing changes before Enter, and u takes it back afterwards."
    KEY_WORDS = {"enter": "this one", "esc": "leave everything as it is", **NARROW}

    def __init__(
        self,
        question: str,
        chosen: Callable[[Choice], None],
        *,
        but: int | None = None,
        with_others: bool = True,
        near: Sequence[int] = (),
    ) -> None:
        super().__init__()
        self.near = tuple(near)
        self.question = question
        self.answer = chosen
        self.but = but
        self.with_others = with_others

    def body(self) -> ComposeResult:
        columns = [Column("Spot", 14, share=3), Column("Pictures", 8), Column("Tags", 6, share=2, from_width=34)]
        yield from self.with_preview(columns, "There is no other spot.")

    def name_of_list(self) -> str:
        return self.question

    def hints(self) -> Sequence[Hint]:
        return [Hint("enter", "enter", "this one", "choose"), Hint("slash", "/", "narrow"), ESCAPE]

    def reload(self) -> None:
        rows = []
        likely = self.service.likely_spots(self.near)
        for entry in sorted(self.service.spots(), key=partial(self._order, likely)):
            if entry.spot.spot_id != self.but:
                pictures = str(len(entry.spot.picture_ids))
                rows.append(Row(entry.spot.spot_id, (spot_words(entry.spot), pictures, " ".join(entry.numbers))))
        if self.with_others:
            rows[1:1] = [Row(NEW, ("a new spot", "", "")), Row(NONE, ("no spot", "", ""))]
        self.list_rows.set_rows(rows)

    def _order(self, likely: Sequence[int], entry: SpotEntry) -> int:
        """Spots that look like the pictures come first, the others in their own order."""
        return likely.index(entry.spot.spot_id) if entry.spot.spot_id in likely else len(likely)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        assert event.row is not None
        key = event.row.key
        self.archive_app.go_back()
        self.answer(key if isinstance(key, int) else str(key))


SCREEN = ScreenEntry("", "Choose a spot", ChooseSpotScreen, ChooseSpotScreen.ABOUT)
