"""One line that asks for words: a name, a folder."""

from __future__ import annotations

from collections.abc import Callable

from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Input, Label


class AskLine(Horizontal):
    """A question with room for an answer. Enter gives it, Escape gives up."""

    DEFAULT_CSS = """
    AskLine { layer: over; dock: bottom; height: 1; display: none; background: $panel; color: $text; }
    AskLine Label { width: auto; padding: 0 1; text-style: bold reverse; }
    AskLine Input { width: 1fr; background: $panel; color: $text; }
    """
    BINDINGS = [("escape", "give_up", "close")]

    def __init__(self) -> None:
        super().__init__()
        self._answered: Callable[[str], None] = lambda words: None
        self._focus_before: Widget | None = None

    def on_mount(self) -> None:
        self.call_after_refresh(self._fill)

    def _fill(self) -> None:
        """Mounted only after the screen is painted: the field is not needed before, and costs the first paint."""
        self.mount(Label("", markup=False), Input(compact=True, select_on_focus=False))

    @property
    def is_open(self) -> bool:
        return bool(self.display)

    def ask(self, question: str, answered: Callable[[str], None], *, words: str = "") -> None:
        """Ask, and call `answered` with what was typed."""
        self._answered = answered
        self._focus_before = self.screen.focused
        self.query_one(Label).update(question)
        field = self.query_one(Input)
        field.value = words
        field.cursor_position = len(words)
        self.display = True
        self.screen.set_focus(field)

    def close(self) -> None:
        self.display = False
        self.screen.set_focus(self._focus_before)

    def action_give_up(self) -> None:
        self.close()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        words = event.value.strip()
        self.close()
        if words:
            self._answered(words)
