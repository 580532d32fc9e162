"""The line in which words are typed that narrow a list: every further word leaves fewer rows."""

from __future__ import annotations

from textual import events
from textual.widgets import Input

from asfound.tui.widgets.entry_line import EntryLine
from asfound.tui.widgets.rows import RowList
from asfound.tui.words import count


class FilterLine(EntryLine):
    """Narrows a list while one types. Enter goes on with what is left; Escape shows all again."""

    ALLOW_SELECT = False

    def __init__(self) -> None:
        super().__init__()
        self.rows: RowList | None = None

    def open(self, rows: RowList) -> None:
        """Take words for this list; those of before are still there."""
        self.rows = rows
        self.open_field("Only with", rows.narrowed_to)
        self._narrow()

    def close(self) -> None:
        """Give the keys to the list."""
        super().close()
        self.screen.set_focus(self.rows)

    def on_key(self, event: events.Key) -> None:
        """The keys that end it; the field keeps all others to itself, or moves its cursor by them."""
        if event.key == "escape":
            self.field.fill("")
        elif event.key not in ("enter", "down", "tab", "shift+tab"):
            return
        event.stop()
        self._narrow()
        self.close()

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        if self.is_open:
            self._narrow()

    def _narrow(self) -> None:
        assert self.rows is not None
        if self.rows.narrowed_to != self.field.value:
            self.rows.narrow(self.field.value)
        self.remark(f"{count(len(self.rows.rows), 'row')}   enter goes on   esc shows all")
