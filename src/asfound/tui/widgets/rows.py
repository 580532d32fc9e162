"""A list of rows in columns, one of them chosen. The chosen row is reversed and has a mark in front."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding
from textual.geometry import Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from asfound.tui.widgets.row_columns import Column as Column
from asfound.tui.widgets.row_columns import Row as Row
from asfound.tui.widgets.row_columns import lay_out, longest_texts, share_widths
from asfound.tui.words import fit_words

MARK = "▸ "


class RowList(ScrollView, can_focus=True):
    """A list of rows that one goes through with the arrow keys and opens with Enter."""

    DEFAULT_CSS = """
    RowList { width: 1fr; height: 1fr; background: $surface; color: $text; scrollbar-size-vertical: 1; }
    """
    ALLOW_SELECT = False
    BINDINGS = [
        Binding("up,k", "move(-1)", "up", show=False),
        Binding("down,j", "move(1)", "down", show=False),
        Binding("pageup,K,shift+up", "page(-1)", "page up", show=False),
        Binding("pagedown,J,shift+down", "page(1)", "page down", show=False),
        Binding("home", "ends(0)", "first", show=False),
        Binding("end", "ends(1)", "last", show=False),
        Binding("enter", "open", "open", show=False),
    ]

    class Moved(Message):
        """Another row is chosen."""

        def __init__(self, rows: RowList, row: Row | None) -> None:
            self.rows = rows
            self.row = row
            super().__init__()

        @property
        def control(self) -> RowList:
            """The list, for handlers that are of one list only."""
            return self.rows

    class Opened(Moved):
        """A row was opened with Enter or a click."""

    def __init__(
        self, columns: Sequence[Column], *, empty: str = "", titles: bool = True, id: str | None = None
    ) -> None:
        super().__init__(id=id)
        self.columns = tuple(columns)
        self.empty_words = empty
        self.titles = titles
        self.rows: tuple[Row, ...] = ()
        self.narrowed_to = ""
        self._every_row: tuple[Row, ...] = ()
        self._longest = [0] * len(columns)
        self.index = 0

    @property
    def chosen(self) -> Row | None:
        """The chosen row; None in an empty list."""
        return self.rows[self.index] if self.rows else None

    def narrow(self, words: str) -> None:
        """Show only the rows that hold every one of these words, or the beginnings of them; all rows for none."""
        self.narrowed_to = words
        self.set_rows(self._every_row)

    @property
    def hidden(self) -> int:
        """How many rows are left out because they do not hold the words."""
        return len(self._every_row) - len(self.rows)

    def set_rows(self, rows: Sequence[Row], *, choose: object = None) -> None:
        """Show other rows; the chosen one stays chosen, or the one with the key `choose` is."""
        wanted = choose if choose is not None else (self.chosen.key if self.chosen else None)
        self._every_row = tuple(rows)
        self._longest = longest_texts(self.columns, rows)
        self.rows = tuple(row for row in rows if row.holds(self.narrowed_to))
        keys = [row.key for row in self.rows]
        if wanted in keys:
            self.index = keys.index(wanted)
        self.index = max(0, min(self.index, len(self.rows) - 1))
        self.virtual_size = Size(0, len(self.rows) + self._head)
        self._show_chosen()
        self.refresh()
        self.post_message(self.Moved(self, self.chosen))

    def choose(self, index: int) -> None:
        """Choose a row by its place."""
        if not self.rows:
            return
        index = max(0, min(index, len(self.rows) - 1))
        if index != self.index:
            self.index = index
            self._show_chosen()
            self.refresh()
            self.post_message(self.Moved(self, self.chosen))

    def choose_key(self, key: object) -> bool:
        """Choose the row that stands for this; False when there is none."""
        index = next((place for place, row in enumerate(self.rows) if row.key == key), None)
        if index is not None:
            self.choose(index)
        return index is not None

    @property
    def _head(self) -> int:
        return 1 if self.titles else 0

    def _show_chosen(self) -> None:
        height = max(1, self.size.height - self._head)
        top = self.scroll_offset.y
        if self.index < top:
            self.scroll_to(y=self.index, animate=False, force=True, immediate=True)
        elif self.index >= top + height:
            self.scroll_to(y=self.index - height + 1, animate=False, force=True, immediate=True)

    def action_move(self, by: int) -> None:
        self.choose(self.index + by)

    def action_page(self, by: int) -> None:
        self.choose(self.index + by * max(1, self.size.height - 2))

    def action_ends(self, last: int) -> None:
        self.choose(len(self.rows) - 1 if last else 0)

    def action_open(self) -> None:
        if self.chosen is not None:
            self.post_message(self.Opened(self, self.chosen))

    def on_resize(self, event: events.Resize) -> None:
        self._show_chosen()

    def on_click(self, event: events.Click) -> None:
        row = event.y - self._head + self.scroll_offset.y
        if event.y >= self._head and 0 <= row < len(self.rows):
            if row == self.index or event.chain > 1:
                self.choose(row)
                self.action_open()
            else:
                self.choose(row)

    def widths(self, width: int) -> list[int]:
        """Width of each column in a list `width` cells wide; 0 for one that is not shown."""
        return share_widths(self.columns, self._longest, width, width - len(MARK))

    def line(self, cells: Sequence[str], width: int) -> str:
        """A row's text laid out for a width, without its mark."""
        return lay_out(cells, self.widths(width), width - len(MARK))

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        style = self.visual_style.rich_style
        if not self.rows:
            return self._empty_line(y, width, style)
        if self.titles and y == 0:
            titles = self.line([column.title for column in self.columns], width)
            return Strip([Segment("  " + titles, style + Style(dim=True, underline=True))], width)
        number = y - self._head + self.scroll_offset.y
        if not 0 <= number < len(self.rows):
            return Strip.blank(width, style)
        text = self.line(self.rows[number].cells, width)
        if number != self.index:
            return Strip([Segment("  " + text, style)], width)
        marked = style + Style(reverse=True, bold=True) if self.has_focus else style + Style(bold=True)
        return Strip([Segment(MARK + text, marked)], width)

    def _empty_line(self, y: int, width: int, style: Style) -> Strip:
        lines = self.empty_words.split("\n") if not self.hidden else [f'Nothing here matches "{self.narrowed_to}".']
        if 1 <= y <= len(lines):
            return Strip([Segment(fit_words("  " + lines[y - 1], width), style)], width)
        return Strip.blank(width, style)
