"""The box that opens when a digit is typed anywhere: it finds a tag while its number is typed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Input

from asfound.actions.ends import FindEntry
from asfound.tui.widgets.entry_line import EntryLine
from asfound.tui.widgets.number_choices import Choice, Finder, NumberChoices
from asfound.tui.words import fit_words, split_number

BY_DIGIT = "Number"
"""Title of the box where a digit opened it: taking that digit back closes it."""


class NumberBox(EntryLine):
    """A number being typed, and the tag ends that begin with it.

    The bottom line says what Enter and Space do, and to which end. The marked row is the end that is pinned: of a known
    number the first end that no picture shows; Tab marks the other.
    """

    ALLOW_SELECT = False

    class Done(Message):
        """A number was typed and Enter or Space pressed.

        Attributes
        ----------
        words : str
            As typed.
        entry : FindEntry or None
            The tag end that was chosen, None when nothing begins with these words.
        by_space : bool
        """

        def __init__(self, words: str, entry: FindEntry | None, *, by_space: bool) -> None:
            self.words = words
            self.entry = entry
            self.by_space = by_space
            super().__init__()

    def __init__(self) -> None:
        super().__init__()
        self.title = BY_DIGIT
        self.key_words = {"enter": "", "space": ""}
        self.pins: tuple[str, ...] = ()
        self.rows = ChoiceRows()
        self._find: Finder = lambda words: []
        self._looked_up = ""

    def parts_below(self) -> Iterable[Widget]:
        return [self.rows]

    @property
    def words(self) -> str:
        """What is typed."""
        return self.field.value

    @property
    def choices(self) -> list[Choice]:
        """Every row, the best first."""
        return self.rows.choices.rows

    def open(
        self,
        words: str,
        *,
        find: Finder,
        title: str = BY_DIGIT,
        enter_words: str = "shows {}",
        space_words: str = "",
        pins: Sequence[str] = (),
    ) -> None:
        """Start with what was typed already.

        Parameters
        ----------
        enter_words, space_words : str
            What the keys do; ``{}`` stands for the end they do it to.
        pins : sequence of str
            Those of ``enter`` and ``space`` that pin, so that a new number may be made.
        """
        self.title, self.pins, self._find = title, tuple(pins), find
        self.key_words = {"enter": enter_words, "space": space_words}
        self.open_field(title, words, is_selected=False)
        self._look_up()

    def meant(self, key: str) -> Choice | None:
        """What a key acts on."""
        return self.rows.choices.meant(key)

    # Keys

    def on_key(self, event: events.Key) -> None:
        """The keys that are not typed; the field keeps all others to itself, or moves its cursor by them."""
        if event.key == "escape" or (event.key == "backspace" and self._is_taken_back):
            self.close()
        elif event.key in ("down", "tab"):
            self._mark(self.rows.choices.index + 1)
        elif event.key in ("up", "shift+tab"):
            self._mark(self.rows.choices.index - 1)
        elif event.key in ("enter", "space"):
            self._finish(event.key)
        else:
            return
        event.stop()

    @property
    def _is_taken_back(self) -> bool:
        """Whether Backspace takes back the digit that opened the box."""
        is_last = len(self.words) <= 1 or self.field.is_all_selected
        return self.title == BY_DIGIT and is_last and self.field.cursor_position > 0

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        if self.is_open and self.words != self._looked_up:
            self._look_up()

    def on_choice_rows_clicked(self, event: ChoiceRows.Clicked) -> None:
        event.stop()
        self._mark(event.index)
        self._finish("enter")

    def _mark(self, index: int) -> None:
        self.rows.choices.mark(index)
        self._show()

    def _look_up(self) -> None:
        self._looked_up = self.words
        self.rows.choices = NumberChoices(self.words, self._find, self.pins)
        acts = self.words[:1].isdigit() and (self.key_words["space"] or "space" in self.pins)
        self.field.passed_on = ("space",) if acts else ()
        self._show()

    def _finish(self, key: str) -> None:
        if self.words != self._looked_up:
            self._look_up()
        words = self.words.strip()
        self.close()
        if not words:
            return
        choice = self.meant(key)
        if choice is not None and self.rows.choices.is_exact(key):
            words = choice.words
        self.post_message(self.Done(words, choice.entry if choice else None, by_space=key == "space"))

    # What it tells

    def _show(self) -> None:
        choices, (number, end) = self.rows.choices, split_number(self.words)
        end_words = f"{number} end {end}  " if end else ""
        self.remark(end_words + (f"({choices.hidden} more; go on typing)" if choices.hidden else ""))
        self.rows.show(choices, none=self._none_words(), keys=self._keys())

    def _keys(self) -> str:
        parts = []
        for key, does in self.key_words.items():
            choice = self.meant(key)
            if does and choice is not None:
                parts.append(f"{key} {does.format(choice.name)}")
        if len(self.rows.choices.shown) > 1:
            parts.append("tab other end" if self.pins else "tab next")
        return "   ".join([*parts, "esc close"])

    def _none_words(self) -> str:
        """What stands there when there is no row."""
        if not self.words:
            return "Type the number; add a or b for the end." if self.pins else "Type a number, or words of a name."
        if self.words[:1].isdigit():
            return f"No tag begins with {self.words}. To make that tag, open a picture of it."
        return "Nothing matches all these words. Try fewer."


class ChoiceRows(Widget):
    """The rows of a number box, the marked one reversed, and below them what the keys do."""

    DEFAULT_CSS = "ChoiceRows { height: 2; width: 1fr; }"
    ALLOW_SELECT = False

    class Clicked(Message):
        """A row was clicked."""

        def __init__(self, index: int) -> None:
            self.index = index
            super().__init__()

    def __init__(self) -> None:
        super().__init__()
        self.choices = NumberChoices()
        self._none = self._keys = ""

    def show(self, choices: NumberChoices, *, none: str, keys: str) -> None:
        """Show these rows, or the words `none` in place of them, and `keys` in the last line."""
        self.choices, self._none, self._keys = choices, none, keys
        self.styles.height = 1 + max(1, len(choices.shown))
        self.refresh()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        if event.y < len(self.choices.shown):
            self.post_message(self.Clicked(event.y))

    def render_line(self, y: int) -> Strip:
        width, style = self.size.width, self.visual_style.rich_style
        shown = self.choices.shown
        if y < len(shown):
            is_marked = y == self.choices.index
            text = ("▸ " if is_marked else "  ") + shown[y].line(width - 2)
            return Strip([Segment(fit_words(text, width), style + Style(bold=is_marked, reverse=is_marked))], width)
        text = "  " + (self._none if y == 0 else self._keys)
        return Strip([Segment(fit_words(text, width), style)], width)
