"""The bottom line: what the next key can do. As many as fit, six at most on 80 columns; each can be clicked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.strip import Strip
from textual.widget import Widget


@dataclass(frozen=True, slots=True)
class Hint:
    """A key worth naming.

    Attributes
    ----------
    key : str
        As Textual names it; pressed when the hint is clicked.
    shown : str
        As a person reads it.
    words : str
        What it does, in one or two words.
    """

    key: str
    shown: str
    words: str


HELP = Hint("question_mark", "?", "help")


class KeyLine(Widget):
    """Key hints in one line, `? help` always last."""

    DEFAULT_CSS = "KeyLine { height: 1; width: 1fr; background: $panel; color: $text; }"
    ALLOW_SELECT = False

    def __init__(self) -> None:
        super().__init__()
        self.hints: tuple[Hint, ...] = ()
        self._spans: list[tuple[int, int, Hint]] = []

    def set_hints(self, hints: Sequence[Hint]) -> None:
        if tuple(hints) != self.hints:
            self.hints = tuple(hints)
            self.refresh()

    def fitting(self, width: int) -> list[Hint]:
        """The hints that fit a width, the first ones first."""
        most = 5 if width < 100 else 9
        room = width - self._width(HELP)
        fitting: list[Hint] = []
        for hint in self.hints[:most]:
            room -= self._width(hint) + 2
            if room < 0:
                break
            fitting.append(hint)
        return [*fitting, HELP]

    @staticmethod
    def _width(hint: Hint) -> int:
        return len(hint.shown) + 1 + len(hint.words) + 1

    def render_line(self, y: int) -> Strip:
        style = self.visual_style.rich_style
        segments = [Segment(" ", style)]
        self._spans = []
        column = 1
        for hint in self.fitting(self.size.width):
            start = column
            key = Segment(hint.shown, style + Style(bold=True, underline=True))
            words = Segment(f" {hint.words}", style)
            segments += [key, words, Segment("   ", style)]
            column += len(hint.shown) + len(hint.words) + 1
            self._spans.append((start, column, hint))
            column += 3
        return Strip(segments).adjust_cell_length(self.size.width, style)

    def on_click(self, event: events.Click) -> None:
        for start, end, hint in self._spans:
            if start <= event.x < end:
                self.app.simulate_key(hint.key)
                event.stop()
