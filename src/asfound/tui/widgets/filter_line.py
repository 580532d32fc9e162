"""The line in which words are typed that narrow a list: every further word leaves fewer rows."""

from __future__ import annotations

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.strip import Strip
from textual.widget import Widget

from asfound.tui.widgets.rows import RowList
from asfound.tui.words import count, fit_words


class FilterLine(Widget, can_focus=True):
    """Narrows a list while one types. Enter goes on with what is left; Escape shows all again."""

    DEFAULT_CSS = """
    FilterLine { layer: over; dock: bottom; height: 1; width: 1fr; display: none; background: $panel; color: $text; }
    """
    ALLOW_SELECT = False

    def __init__(self) -> None:
        super().__init__()
        self.rows: RowList | None = None

    @property
    def is_open(self) -> bool:
        return bool(self.display)

    @property
    def words(self) -> str:
        return self.rows.narrowed_to if self.rows is not None else ""

    def open(self, rows: RowList) -> None:
        """Take words for this list; those of before are still there."""
        self.rows = rows
        self.display = True
        self.screen.set_focus(self)
        self.refresh()

    def close(self) -> None:
        self.display = False
        self.screen.set_focus(self.rows)

    def on_key(self, event: events.Key) -> None:
        if event.key in ("ctrl+q", "ctrl+p") or self.rows is None:
            return
        event.stop()
        event.prevent_default()
        if event.key == "escape":
            self._narrow("")
            self.close()
        elif event.key in ("enter", "down"):
            self.close()
        elif event.key == "backspace":
            self._narrow(self.words[:-1])
        elif event.character and event.character.isprintable():
            self._narrow(self.words + event.character)

    def _narrow(self, words: str) -> None:
        assert self.rows is not None
        self.rows.narrow(words)
        self.refresh()

    def render_line(self, y: int) -> Strip:
        style = self.visual_style.rich_style
        left = count(len(self.rows.rows), "row") if self.rows is not None else ""
        text = f" Only with: {self.words}▏  {left}   enter goes on   esc shows all"
        return Strip([Segment(fit_words(text, self.size.width), style + Style(bold=True))], self.size.width)
