"""Where pictures belong instead: another spot, a new one, none."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from textual.app import ComposeResult

from asfound.tui.entry import ScreenEntry
from asfound.tui.list_screen import NARROW, ListScreen
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.widgets.rows import Column, Row, RowList
from asfound.tui.words import count, spot_words

NEW, NONE = "new", "none"
Choice = int | str
"""A spot's id, `NEW` or `NONE`."""


class ChooseSpotScreen(ListScreen):
    ABOUT = "Choose a spot. Nothing changes before Enter, and u takes it back afterwards."
    KEY_WORDS = {"enter": "this one", "esc": "leave everything as it is", **NARROW}

    def __init__(
        self, question: str, chosen: Callable[[Choice], None], *, but: int | None = None, with_others: bool = True
    ) -> None:
        super().__init__()
        self.question = question
        self.answer = chosen
        self.but = but
        self.with_others = with_others

    def body(self) -> ComposeResult:
        yield RowList(
            [Column("Spot", 20, share=3), Column("Pictures", 8), Column("Tags", 6, share=2)],
            empty="There is no other spot.",
        )

    def name_of_list(self) -> str:
        return self.question

    def hints(self) -> Sequence[Hint]:
        return [Hint("enter", "enter", "this one"), Hint("slash", "/", "narrow"), ESCAPE]

    def reload(self) -> None:
        rows = [Row(NEW, ("a new spot of their own", "", "")), Row(NONE, ("no spot", "", ""))]
        rows = rows if self.with_others else []
        for entry in self.service.spots():
            if entry.spot.spot_id != self.but:
                pictures = count(len(entry.spot.picture_ids), "picture")
                rows.append(Row(entry.spot.spot_id, (spot_words(entry.spot), pictures, " ".join(entry.numbers))))
        self.list_rows.set_rows(rows)

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        assert event.row is not None
        key = event.row.key
        self.archive_app.go_back()
        self.answer(key if isinstance(key, int) else str(key))


SCREEN = ScreenEntry("", "Choose a spot", ChooseSpotScreen, ChooseSpotScreen.ABOUT)
