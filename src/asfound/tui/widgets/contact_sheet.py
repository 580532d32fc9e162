"""Many small pictures with a line of words under each; one is chosen."""

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
from asfound.tui.words import fit_words

if TYPE_CHECKING:
    from asfound.output.cells.blocks import Cells
    from asfound.tui.opening import OpenPictures

LEAST_TILE = 24
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
    """Pictures in rows, drawn with characters."""

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
    def across(self) -> int:
        """Pictures in one row: as few as show every picture at once, so that they are as large as may be."""
        most = max(1, self.size.width // LEAST_TILE)
        for across in range(1, most):
            if -(-len(self.items) // across) * self._rows_of_tile(across) <= self.size.height:
                return across
        return most

    def _rows_of_tile(self, across: int) -> int:
        """Rows of a tile, its line of words included, when `across` stand in one row."""
        return max(3, round((self.size.width // across - 2) * 0.75 / self._aspect) + 1)

    @property
    def tile_columns(self) -> int:
        return max(1, self.size.width // self.across)

    @property
    def tile_rows(self) -> int:
        return min(self._rows_of_tile(self.across), max(3, self.size.height))

    @property
    def _rows_shown(self) -> int:
        return max(1, self.size.height // self.tile_rows)

    def _changed(self) -> None:
        row = self.index // self.across
        if row < self._top_row:
            self._top_row = row
        elif row >= self._top_row + self._rows_shown:
            self._top_row = row - self._rows_shown + 1
        self._cells = None
        self.refresh()
        self._open_visible()

    def _visible(self) -> list[SheetItem]:
        first = self._top_row * self.across
        rows = -(-self.size.height // self.tile_rows) if self.size.height else 1
        return list(self.items[first : first + rows * self.across])

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
        self.choose(self.index + columns + rows * self.across)

    def action_ends(self, last: int) -> None:
        self.choose(len(self.items) - 1 if last else 0)

    def action_open(self) -> None:
        if self.chosen is not None:
            self.post_message(self.PictureOpened(self, self.chosen))

    def on_click(self, event: events.Click) -> None:
        column, row = event.x // self.tile_columns, event.y // self.tile_rows
        index = (self._top_row + row) * self.across + column
        if column < self.across and index < len(self.items):
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

        sheet = Cells.blank(self.size.width, self.size.height, PAPER)
        first = self._top_row * self.across
        for place, item in enumerate(self._visible()):
            column = place % self.across * self.tile_columns
            row = place // self.across * self.tile_rows
            tile = self._tile(item)
            if tile is not None:
                sheet.paste(tile, column + 1, row)
            else:
                words = "cannot be opened" if item.picture_id in self._broken else "opening ..."
                sheet.write(column + 2, row + self.tile_rows // 2, words, INK)
            self._write_words(sheet, item, column, row, chosen=first + place == self.index)
        self._write_hidden(sheet)
        return sheet

    def _write_hidden(self, sheet: Cells) -> None:
        """Say how many pictures are out of sight, above and below."""
        above = self._top_row * self.across
        below = len(self.items) - (self._top_row + self._rows_shown) * self.across
        for many, row, words in ((above, 0, f" ▲ {above} above "), (below, sheet.rows - 1, f" ▼ {below} below ")):
            if many > 0:
                start = max(1, sheet.columns - len(words))
                if chr(sheet.codes[row, start - 1]).isalnum():
                    sheet.write(start - 1, row, "…", INK, PAPER)  # what it covers goes on below it
                sheet.write(start, row, words, BLACK, YELLOW)

    def _write_words(self, sheet: Cells, item: SheetItem, column: int, row: int, *, chosen: bool) -> None:
        room = self.tile_columns - 2
        below = min(row + self.tile_rows - 1, self.size.height - 1)
        if not chosen:
            sheet.write(column + 1, below, fit_words(item.words, room), INK, PAPER)
            return
        sheet.write(column, below, fit_words("▸" + item.words, room + 1) + "◂", BLACK, YELLOW)
        for line in range(row, below):
            sheet.write(column, line, "▌", YELLOW, PAPER)
            sheet.write(column + self.tile_columns - 1, line, "▐", YELLOW, PAPER)

    def _tile(self, item: SheetItem) -> Cells | None:
        columns, rows = self.tile_columns - 2, self.tile_rows - 1
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
