"""A test card: which characters this terminal draws, told by the person who sees them."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from asfound.output.cells.colour import Glyphs
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import ScreenEntry
from asfound.tui.going import KeepGlyphs
from asfound.tui.keys import Key
from asfound.tui.widgets.rows import Column, Row, RowList

CARD_PX = 480
ABOUT_GLYPHS = {
    Glyphs.SEXTANTS: "six parts in a cell: the finest, but not every font has them",
    Glyphs.QUADRANTS: "four parts in a cell: nearly every terminal draws them",
    Glyphs.HALVES: "two parts in a cell: coarse, quick, works everywhere",
}


class CharactersScreen(ArchiveScreen):
    ABOUT = (
        "Below are a ring, two thin wires and a fan of lines, drawn with the chosen characters. If you see gaps, empty "
        "cells or letters, try the next row. Enter keeps the choice for this kind of terminal."
    )
    KEYS = (
        Key("up,down", "", "draw with the next characters", "others", shown="↑ ↓"),
        Key("enter", "", "keep these for this kind of terminal", "keep"),
    )
    DEFAULT_CSS = """
    CharactersScreen #ask { height: 2; padding: 0 1; }
    CharactersScreen RowList { height: 3; }
    """

    def body(self) -> ComposeResult:
        yield Static("Is the ring closed and are the thin lines unbroken? Then press Enter.\n", id="ask")
        yield RowList([Column("", 12), Column("", 30, share=1)], titles=False)
        card = Canvas(with_crosshair=False)
        card.can_focus = False
        yield card

    def on_mount(self) -> None:
        self.session.set_up_canvas(self.query_one(Canvas))
        self.query_one(RowList).set_rows(
            [Row(str(glyphs), (str(glyphs), words)) for glyphs, words in ABOUT_GLYPHS.items()],
            choose=str(self.query_one(Canvas).glyphs),
        )
        self.call_after_refresh(self._show)

    def _show(self) -> None:
        from asfound.output.cells.pyramid import Pyramid
        from asfound.output.cells.test_card import draw_test_card

        image = draw_test_card(CARD_PX)
        self.query_one(Canvas).show(Pyramid.build(image), (float(image.shape[1]), float(image.shape[0])))

    def where(self) -> str:
        return "Characters for pictures"

    def on_row_list_moved(self, event: RowList.Moved) -> None:
        if event.row is not None:
            self.query_one(Canvas).draw_with(glyphs=Glyphs(str(event.row.key)))

    def on_row_list_opened(self, event: RowList.Opened) -> None:
        assert event.row is not None
        glyphs = Glyphs(str(event.row.key))
        self.post_message(KeepGlyphs(glyphs))


SCREEN = ScreenEntry("", "Characters", CharactersScreen, CharactersScreen.ABOUT)
