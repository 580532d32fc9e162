"""One line that asks for words: a name, a folder; below it what the keys do, or how the words could go on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical
from textual.widget import Widget
from textual.widgets import Input, Label, Static

from asfound.tui.words import width_of

ANSWER_COLUMNS = 30
"""Cells beside a question that are enough for an answer."""

Completer = Callable[[str], Sequence[str]]
"""What words that were begun could become, whole."""


class Answer(Input):
    """The field of the answer. Where `gives_way` says so, a digit typed right behind what stood there replaces it."""

    gives_way = ""

    def insert_text_at_cursor(self, text: str) -> None:
        if self.gives_way and self.value == self.gives_way and text.isdigit():
            self.replace(text, 0, len(self.value))
        else:
            super().insert_text_at_cursor(text)


class AskLine(Vertical):
    """A question with room for an answer. Enter gives it, Escape gives up, Tab goes on with what was begun."""

    DEFAULT_CSS = """
    AskLine { layer: over; dock: bottom; height: auto; display: none; background: $panel; color: $text; }
    AskLine Horizontal { height: 1; }
    AskLine Label { width: auto; padding: 0 1; text-style: bold reverse; }
    AskLine Input { width: 1fr; background: $panel; color: $text; }
    AskLine.-long Horizontal { layout: vertical; height: auto; }
    AskLine.-long Label { width: 1fr; height: auto; }
    AskLine.-long Input { margin: 0 1; }
    AskLine > #foot { height: auto; max-height: 5; padding: 0 1; }
    """
    BINDINGS = [
        Binding("escape", "give_up", "close", show=False),
        Binding("tab,shift+tab", "complete", "complete", show=False, priority=True),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._answered: Callable[[str], None] = lambda words: None
        self._complete: Completer | None = None
        self._enter_words = ""
        self._focus_before: Widget | None = None
        self._question = self._refusal = ""

    def compose(self) -> ComposeResult:
        yield Horizontal()

    def on_mount(self) -> None:
        self.call_after_refresh(self._fill)

    async def _fill(self) -> None:
        """Mounted only after the screen is painted: the field is not needed before, and costs the first paint."""
        if not self.query(Input):
            field = Answer(compact=True, select_on_focus=False)
            await self.query_one(Horizontal).mount(Label("", markup=False), field)
            await self.mount(Static(id="foot", markup=False))

    @property
    def is_open(self) -> bool:
        return bool(self.display)

    def ask(
        self,
        question: str,
        answered: Callable[[str], None],
        *,
        words: str = "",
        complete: Completer | None = None,
        enter_words: str = "keeps it",
        gives_way: bool = False,
        refusal: str = "",
    ) -> None:
        """Ask, and call `answered` with what was typed.

        Parameters
        ----------
        complete : callable or None
            Gives what the words could become, for Tab.
        enter_words : str
            What Enter does, for the line below.
        gives_way : bool
            Whether a number that is typed at once takes the place of `words`, and is not added to them.
        refusal : str
            Why the same words were not taken, when they are asked for again; this line lies over what the screen says.
        """
        if not self.query("#foot"):  # asked before the field was mounted
            self.call_after_refresh(
                self.ask,
                question,
                answered,
                words=words,
                complete=complete,
                enter_words=enter_words,
                gives_way=gives_way,
                refusal=refusal,
            )
            return
        self._answered, self._complete, self._enter_words = answered, complete, enter_words
        self._focus_before = self.screen.focused
        self._question, self._refusal = question, refusal
        self.query_one(Label).update(question)
        self._make_room()
        field = self.query_one(Answer)
        field.gives_way = words if gives_way else ""
        field.value = words
        field.cursor_position = len(words)
        self.display = True
        self.screen.set_focus(field)
        self._show_foot()

    def _make_room(self) -> None:
        """Put the answer below a question that would leave little room beside it."""
        self.set_class(self.app.size.width - width_of(self._question) - 2 < ANSWER_COLUMNS, "-long")

    def on_resize(self) -> None:
        self._make_room()

    def _show_foot(self, more: str = "") -> None:
        parts = [f"enter {self._enter_words}", *(["tab completes"] if self._complete else []), "esc leaves it"]
        lines = [parts[0]]
        for part in parts[1:]:
            if width_of(lines[-1]) + width_of(part) + 3 + 2 > self.app.size.width:
                lines.append(part)
            else:
                lines[-1] += f"   {part}"
        refusal = [self._refusal] if self._refusal else []
        self.query_one("#foot", Static).update(more or "\n".join([*refusal, *lines]))

    def close(self) -> None:
        self.display = False
        self.screen.set_focus(self._focus_before)

    def action_give_up(self) -> None:
        self.close()

    def action_complete(self) -> None:
        """Go on with what was begun as far as there is one way only, and show the ways from there."""
        field = self.query_one(Input)
        ways = list(self._complete(field.value)) if self._complete else []
        if not ways:
            self._show_foot("nothing begins so" if self._complete else "")
            return
        field.value = common_start(ways)
        field.cursor_position = len(field.value)
        self._show_foot("  ".join(Path(way).name for way in ways) if len(ways) > 1 else "")

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        words = event.value.strip()
        self.close()
        if words:
            self._answered(words)


def common_start(ways: Sequence[str]) -> str:
    """The letters with which all begin."""
    first, last = min(ways), max(ways)  # in the order of letters these differ the soonest
    same = next((place for place, letter in enumerate(first) if last[place : place + 1] != letter), len(first))
    return first[:same]


def folders_and_files(words: str) -> list[str]:
    """The paths that begin so, folders with a slash at the end; nothing hidden unless a dot was typed."""
    begun = Path(words).expanduser()
    folder, start = (begun, "") if words.endswith("/") or words in ("", "~") else (begun.parent, begun.name)
    try:
        found = sorted(folder.iterdir())
    except OSError:
        return []
    fitting = [p for p in found if p.name.startswith(start) and (start.startswith(".") or not p.name.startswith("."))]
    return [f"{path}/" if path.is_dir() else str(path) for path in fitting]
