"""The field in which everything is typed: Textual's own, with its paste, cursor, selection and ctrl+u."""

from __future__ import annotations

import re
from collections.abc import Collection

from textual import events
from textual.geometry import Size
from textual.reactive import reactive
from textual.widgets import Input
from textual.widgets.input import Selection


class TextField(Input):
    """One row of text, in the colours of what it lies on.

    Attributes
    ----------
    passed_on : collection of str
        Names of keys with a letter of their own that are not typed but go on to the widget around the field.
    """

    DEFAULT_CSS = """
    TextField, TextField:focus { width: 1fr; background: transparent; background-tint: transparent 0%; color: $text; }
    TextField > .input--cursor { background: $panel; color: $text; text-style: reverse; }
    TextField > .input--selection { background: $panel; color: $text; text-style: reverse; }
    """

    virtual_size = reactive(Size(0, 0), layout=False)
    """How long the text is. With the toolkit's own, each letter would lay out the whole screen anew."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(compact=True, select_on_focus=False, id=id)
        self.set_reactive(Input.cursor_blink, False)  # a slow line has better things to carry
        self.passed_on: Collection[str] = ()

    @property
    def is_all_selected(self) -> bool:
        """Whether the next letter replaces all that stands there."""
        return bool(self.value) and self.selected_text == self.value

    def fill(self, text: str, *, is_selected: bool = True) -> None:
        """Let a text stand there: selected, so that typing replaces it, or with the cursor behind it."""
        self.value = text
        self.selection = Selection(0 if is_selected else len(text), len(text))

    def put_in(self, text: str) -> None:
        """Type a text at the cursor, in place of what is selected; lines and tabs become blanks."""
        self.replace(one_line(text), *self.selection)

    def on_key(self, event: events.Key) -> None:
        if event.key in self.passed_on:
            event.prevent_default()

    def on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        self.put_in(event.text)


def one_line(text: str) -> str:
    """A text in one line: a blank for a tab or the end of a line, and no signs that cannot be shown.

    Blanks stay as they are, for two of them may stand in the name of a folder.
    """
    text = re.sub(r"[^\S ]+", " ", text.strip("\r\n\t"))
    return "".join(letter for letter in text if letter.isprintable())
