"""What lies over the bottom of a screen while something is typed: a title, the field, and a remark behind it."""

from __future__ import annotations

from collections.abc import Iterable

from textual import events
from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Label

from asfound.tui.widgets.text_field import TextField


class EntryLine(Vertical):
    """A field with its title. A subclass says in `parts_below` what stands below it.

    What it consists of is mounted when it is first opened, so that a screen costs no more for the lines that nobody
    opens. It holds the keys from `open_field` to `close`, and only one is open on a screen at a time.
    """

    DEFAULT_CSS = """
    EntryLine { layer: over; dock: bottom; width: 1fr; height: auto; display: none; background: $panel; color: $text; }
    EntryLine > .head { height: 1; }
    EntryLine > .head > Label { width: auto; padding: 0 1; }
    EntryLine > .head > .title { text-style: bold reverse; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.field = TextField()
        self.title_label = Label("", classes="title", markup=False)
        self.remark_label = Label("", markup=False)
        self._head = Horizontal(classes="head")
        self._remark = ""
        self._focus_before: Widget | None = None

    def parts_below(self) -> Iterable[Widget]:
        """The widgets below the field; asked for once."""
        return ()

    @property
    def is_open(self) -> bool:
        """Whether it is seen and holds the keys."""
        return bool(self.display)

    def open_field(self, title: str, text: str, *, is_selected: bool = True) -> None:
        """Show the line with this text in its field, and give the field the keys."""
        if not self.field.is_attached:
            self.mount(self._head, *self.parts_below())
            self._head.mount(self.title_label, self.field, self.remark_label)
        for other in self.screen.query(EntryLine):
            if other is not self and other.is_open:
                other.close()  # two of them would take the keys from each other
        self.title_label.update(title)
        self.field.fill(text, is_selected=is_selected)
        if not self.is_open:
            self._focus_before = self.screen.focused
        self.display = True
        self.screen.set_focus(self.field)

    def remark(self, words: str) -> None:
        """Say something behind the field. The same words again cost nothing; others lay the line out anew."""
        if words != self._remark:
            self._remark = words
            self.remark_label.update(words)

    def close(self) -> None:
        """Give the keys back to where they were."""
        self.display = False
        self.screen.set_focus(self._focus_before)

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        """A click beside the open line points at something there; what is typed next still belongs to the line."""
        if self.is_open and self.app.app_focus:
            self.screen.set_focus(self.field)
