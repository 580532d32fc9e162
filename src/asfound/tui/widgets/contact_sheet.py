"""A contact sheet: many small pictures with a line of words under each, one of them chosen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from textual import events
from textual.binding import Binding
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget
from textual.worker import get_current_worker

from asfound.output.cells.colour import Colour
from asfound.output.cells.view import View
from asfound.tui.canvas.look import PictureLook
from asfound.tui.terminal import cell_aspect
from asfound.tui.widgets.sheet_grid import SheetGrid
from asfound.tui.words import fit_words

if TYPE_CHECKING:
    from asfound.output.cells.blocks import Cells
    from asfound.tui.opening import OpenPictures

INK = (225, 225, 225)
PAPER = (22, 22, 22)
BLACK = (0, 0, 0)
YELLOW = (255, 214, 10)


@dataclass(frozen=True, slots=True)
class SheetItem:
    """A picture on the sheet.

    Attributes
    ----------
    width_px, height_px : int
        Size of the full picture.
    words : str
        The line under it.
    """

    picture_id: int
    width_px: int
    height_px: int
    words: str


class ContactSheet(Widget, can_focus=True):
    """Small pictures in rows, drawn with characters. They are opened in a thread, and only those in sight."""

    DEFAULT_CSS = "ContactSheet { width: 1fr; height: 1fr; background: #161616; }"
    ALLOW_SELECT = False
    BINDINGS = [
        Binding("left,h", "move(-1, 0)", "left", show=False),
        Binding("right,l", "move(1, 0)", "right", show=False),
        Binding("up,k", "move(0, -1)", "up", show=False),
        Binding("down,j", "move(0, 1)", "down", show=False),
        Binding("pageup,K,shift+up", "move(0, -2)", "far up", show=False),
        Binding("pagedown,J,shift+down", "move(0, 2)", "far down", show=False),
        Binding("home", "ends(0)", "first", show=False),
        Binding("end", "ends(1)", "last", show=False),
        Binding("enter", "open", "open", show=False),
    ]

    class PictureChosen(Message):
        """Another picture is chosen."""

        def __init__(self, sheet: ContactSheet, item: SheetItem) -> None:
            self.sheet = sheet
            self.item = item
            super().__init__()

        @property
        def control(self) -> ContactSheet:
            """The sheet, for handlers that are of one sheet only."""
            return self.sheet

    class PictureOpened(PictureChosen):
        """A picture was opened with Enter or a second click."""

    class TileOpened(Message):
        """A worker has opened a small picture."""

    def __init__(self, opened: OpenPictures, *, empty: str = "", id: str | None = None) -> None:
        super().__init__(id=id)
        self.opened = opened
        self.empty_words = empty
        self.items: tuple[SheetItem, ...] = ()
        self.index = 0
        self.look = PictureLook()
        self._top_row = 0
        self._aspect = cell_aspect()
        self._broken: set[int] = set()
        self._cells: Cells | None = None
        self._tiles: dict[tuple[int, int, int], Cells] = {}

    @property
    def chosen(self) -> SheetItem | None:
        """The chosen picture; None on an empty sheet."""
        return self.items[self.index] if self.items else None

    def set_items(self, items: Sequence[SheetItem]) -> None:
        """Show other pictures; the chosen one stays chosen when it is among them."""
        wanted = self.chosen.picture_id if self.chosen else None
        self.items = tuple(items)
        ids = [item.picture_id for item in self.items]
        self.index = ids.index(wanted) if wanted in ids else min(self.index, max(0, len(ids) - 1))
        self._changed()

    def choose(self, index: int) -> None:
        """Choose a picture by its place."""
        index = max(0, min(index, len(self.items) - 1))
        if self.items and index != self.index:
            self.index = index
            self._changed()
            self.post_message(self.PictureChosen(self, self.items[index]))

    # Layout

    @property
    def grid(self) -> SheetGrid:
        """How the pictures lie now."""
        return SheetGrid(self.size.width, self.size.height, len(self.items), self._aspect)

    def _changed(self) -> None:
        self._top_row = self.grid.top_row_for(self.index, self._top_row)
        self._cells = None
        self.refresh()
        self._open_visible()

    def _visible(self) -> list[SheetItem]:
        return [self.items[place] for place in self.grid.visible(self._top_row)]

    def _open_visible(self) -> None:
        missing = [
            item.picture_id
            for item in self._visible()
            if item.picture_id not in self._broken and self.opened.tile_at_hand(item.picture_id) is None
        ]
        if missing and self.is_attached:
            self.run_worker(partial(self._open_tiles, missing), thread=True, exclusive=True, group="tiles")

    def _open_tiles(self, picture_ids: list[int]) -> None:
        worker = get_current_worker()
        for picture_id in picture_ids:
            if worker.is_cancelled:
                return
            try:
                self.opened.open_tile(picture_id)
            except Exception as error:  # one bad picture must not hide the others
                self.log.error(error)
                self._broken.add(picture_id)
            self.post_message(self.TileOpened())

    def on_contact_sheet_tile_opened(self, event: TileOpened) -> None:
        event.stop()
        self._cells = None
        self.refresh()

    def on_resize(self, event: events.Resize) -> None:
        self._tiles.clear()
        self._changed()

    # Keys and mouse

    def action_move(self, columns: int, rows: int) -> None:
        self.choose(self.index + columns + rows * self.grid.across)

    def action_ends(self, last: int) -> None:
        self.choose(len(self.items) - 1 if last else 0)

    def action_open(self) -> None:
        if self.chosen is not None:
            self.post_message(self.PictureOpened(self, self.chosen))

    def on_click(self, event: events.Click) -> None:
        index = self.grid.index_at(event.x, event.y, self._top_row)
        if index is not None:
            again = index == self.index
            self.choose(index)
            if again:
                self.action_open()

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self.action_move(0, 1)
        event.stop()

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self.action_move(0, -1)
        event.stop()

    # Drawing

    def _shown_colour(self) -> Colour:
        return self.look.shown_colour(no_color=self.app.no_color, system=self.app.console.color_system)

    def _compose_cells(self) -> Cells:
        from asfound.output.cells.blocks import Cells

        sheet, grid = Cells.blank(self.size.width, self.size.height, PAPER), self.grid
        for index in grid.visible(self._top_row):
            item, (column, row) = self.items[index], grid.corner_of(index, self._top_row)
            tile = self._tile(item, grid)
            if tile is not None:
                sheet.paste(tile, column + 1, row)
            else:
                words = "cannot be opened" if item.picture_id in self._broken else "opening ..."
                sheet.write(column + 2, row + grid.tile_rows // 2, words, INK)
            write_words(sheet, grid, item.words, column, row, is_chosen=index == self.index)
        write_hidden(sheet, *grid.hidden(self._top_row))
        return sheet

    def _tile(self, item: SheetItem, grid: SheetGrid) -> Cells | None:
        columns, rows = grid.tile_columns - 2, grid.tile_rows - 1
        key = (item.picture_id, columns, rows)
        if key not in self._tiles:
            pyramid = self.opened.tile_at_hand(item.picture_id)
            if pyramid is None:
                return None
            from asfound.output.cells.frame import draw_picture

            view = View.fit(item.width_px, item.height_px, columns, rows, self._aspect)
            self._tiles[key] = draw_picture(pyramid, view)
        return self._tiles[key]

    def render_lines(self, crop: Region) -> list[Strip]:
        strips = [self.render_line(row) for row in range(crop.y, crop.bottom)]
        if crop.x or crop.width < self.size.width:
            return [strip.crop(crop.x, crop.right) for strip in strips]
        return strips

    def render_line(self, y: int) -> Strip:
        if not self.items or not self.app.is_running or not self._drawing_is_loaded():
            return self._waiting_line(y)
        from asfound.tui.canvas.strip import CellStrip

        if self._cells is None or (self._cells.columns, self._cells.rows) != tuple(self.size):
            self._cells = self._compose_cells()
        return CellStrip(self._cells, y, self._shown_colour())

    def _drawing_is_loaded(self) -> bool:
        """Whether a worker has brought the drawing modules in; until then only words are shown."""
        import sys

        return "asfound.output.cells.frame" in sys.modules or any(
            self.opened.tile_at_hand(item.picture_id) is not None for item in self._visible()
        )

    def _waiting_line(self, y: int) -> Strip:
        from rich.segment import Segment

        style = self.visual_style.rich_style
        width = self.size.width
        words = "opening the pictures ..." if self.items else self.empty_words
        lines = words.split("\n")
        if 1 <= y <= len(lines):
            return Strip([Segment(fit_words("  " + lines[y - 1], width), style)], width)
        return Strip.blank(width, style)


def write_words(sheet: Cells, grid: SheetGrid, words: str, column: int, row: int, *, is_chosen: bool) -> None:
    """Write the line of words below the picture with this upper left cell, and a frame around the chosen one."""
    room = grid.tile_columns - 2
    below = min(row + grid.tile_rows - 1, grid.rows - 1)
    if not is_chosen:
        sheet.write(column + 1, below, fit_words(words, room), INK, PAPER)
        return
    sheet.write(column, below, fit_words("▸" + words, room + 1) + "◂", BLACK, YELLOW)
    for line in range(row, below):
        sheet.write(column, line, "▌", YELLOW, PAPER)
        sheet.write(column + grid.tile_columns - 1, line, "▐", YELLOW, PAPER)


def write_hidden(sheet: Cells, above: int, below: int) -> None:
    """Say how many pictures are out of sight, at the right end of the first and the last row."""
    for many, row, words in ((above, 0, f" ▲ {above} above "), (below, sheet.rows - 1, f" ▼ {below} below ")):
        if many > 0:
            start = max(1, sheet.columns - len(words))
            if chr(sheet.codes[row, start - 1]).isalnum():
                sheet.write(start - 1, row, "…", INK, PAPER)  # what it covers goes on below it
            sheet.write(start, row, words, BLACK, YELLOW)
