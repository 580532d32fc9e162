"""One line that asks for words: a name, a folder; below it what the keys do, or how the words could go on."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path

from textual import events
from textual.widget import Widget
from textual.widgets import Input, Static

from asfound.tui.widgets.entry_line import EntryLine
from asfound.tui.words import width_of

ANSWER_COLUMNS = 30
"""Cells beside a question that are enough for an answer."""

Completer = Callable[[str], Sequence[str]]
"""What words that were begun could become, whole."""


class AskLine(EntryLine):
    """A question with room for an answer. Enter gives it, Escape gives up, Tab goes on with what was begun."""

    DEFAULT_CSS = """
    AskLine.-long > .head { layout: vertical; height: auto; }
    AskLine.-long > .head > .title { width: 1fr; height: auto; }
    AskLine.-long TextField { margin: 0 1; }
    AskLine > #foot { height: auto; max-height: 11; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.foot = Static(id="foot", markup=False)
        self._answered: Callable[[str], None] = lambda words: None
        self._complete: Completer | None = None
        self._preview: Callable[[str], str] | None = None
        self._question = self._refusal = self._enter_words = ""

    def parts_below(self) -> Iterable[Widget]:
        self.remark_label.display = False
        return [self.foot]

    def ask(
        self,
        question: str,
        answered: Callable[[str], None],
        *,
        words: str = "",
        complete: Completer | None = None,
        enter_words: str = "keeps it",
        refusal: str = "",
        preview: Callable[[str], str] | None = None,
    ) -> None:
        """Ask, and call `answered` with what was typed.

        Parameters
        ----------
        words : str
            A likely answer. It is selected, so that typing replaces it; words that were refused are not.
        complete : callable or None
            Gives what the words could become, for Tab.
        enter_words : str
            What Enter does, for the line below.
        refusal : str
            Why the same words were not taken, when they are asked for again; this line lies over what the screen says.
        preview : callable or None
            What the words are read as, shown while they are typed; empty for nothing.
        """
        self._preview = preview
        self._answered, self._complete, self._enter_words = answered, complete, enter_words
        self._question, self._refusal = question, refusal
        self._make_room()
        self.open_field(question, words, is_selected=not refusal)  # one wrong word is put right, not all typed anew
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
        read_as = self._preview(self.field.value) if self._preview else ""
        self.foot.update(more or "\n".join([*([read_as] if read_as else refusal), *lines]))

    def on_key(self, event: events.Key) -> None:
        """The keys that are not typed; the field keeps all others to itself, or moves its cursor by them."""
        if event.key == "escape":
            self.close()
        elif event.key in ("tab", "shift+tab"):
            self._go_on()
        elif event.key == "enter":
            self._answer()
        else:
            return
        event.stop()

    def _go_on(self) -> None:
        """Go on with what was begun as far as there is one way only, and show the ways from there."""
        ways = list(self._complete(self.field.value)) if self._complete else []
        if not ways:
            self._show_foot("nothing begins so" if self._complete else "")
            return
        self.field.fill(common_start(ways), is_selected=False)
        self._show_foot("  ".join(Path(way).name for way in ways) if len(ways) > 1 else "")

    def _answer(self) -> None:
        words = self.field.value.strip()
        self.close()
        if words:
            self._answered(words)

    def on_input_changed(self, event: Input.Changed) -> None:
        event.stop()
        if self._preview is not None and self.is_open:
            self._show_foot()


def common_start(ways: Sequence[str]) -> str:
    """The letters with which all begin."""
    first, last = min(ways), max(ways)  # in the order of letters these differ the soonest
    same = next((place for place, letter in enumerate(first) if last[place : place + 1] != letter), len(first))
    return first[:same]


def folders_and_files(words: str) -> list[str]:
    """The paths that begin so, folders with a slash at the end; nothing hidden unless a dot was typed."""
    begun = Path(words).expanduser()
    folder, start = (begun, "") if words.endswith(("/", os.sep)) or words in ("", "~") else (begun.parent, begun.name)
    try:
        found = sorted(folder.iterdir())
    except OSError:
        return []
    fitting = [p for p in found if p.name.startswith(start) and (start.startswith(".") or not p.name.startswith("."))]
    return [f"{path}{os.sep}" if path.is_dir() else str(path) for path in fitting]
