"""The bottom line: what the next key can do. Six at most below 100 columns; each can be clicked.

Where words do not fit each is told in one word before a key is left out: a key nobody sees is not used.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.strip import Strip
from textual.widget import Widget

from asfound.tui.words import KEY_SIGNS, width_of


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
    short : str
        What it does in one word, where room is short and the first of `words` would not say it.
    """

    key: str
    shown: str
    words: str
    short: str = ""

    @property
    def in_short(self) -> Hint:
        """The key with one word for what it does."""
        return replace(self, words=self.short or self.words.split(",")[0].split(" ")[0])


HELP = Hint("question_mark", "?", "help")
ESCAPE = Hint("escape", "esc", "back")
BETWEEN = 3
KEY_NAMES = {sign: name for name, sign in KEY_SIGNS.items()}


class KeyLine(Widget):
    """Key hints in one line, `? help` always last."""

    DEFAULT_CSS = "KeyLine { height: 1; width: 1fr; background: $panel; color: $text; }"
    ALLOW_SELECT = False

    def __init__(self) -> None:
        super().__init__()
        self.hints: tuple[Hint, ...] = ()
        self.help = HELP
        self._spans: list[tuple[int, int, Hint]] = []

    def set_hints(self, hints: Sequence[Hint]) -> None:
        """Name these keys, the most useful first."""
        if tuple(hints) != self.hints:
            self.hints = tuple(hints)
            self.refresh()

    def fitting(self, width: int) -> list[Hint]:
        """The hints that fit a width, the first ones first; `esc` and `?` stay when others go."""
        most = 6 if width < 100 else 11
        last = [hint for hint in self.hints if hint.key == ESCAPE.key] + [self.help]
        first = [hint for hint in self.hints if hint.key != ESCAPE.key][: most - len(last)]
        wanted = [*first, *last]
        shorter = [hint.in_short for hint in wanted]
        for cut in range(len(wanted) + 1):
            # The last ones are shortened first, for the first are what is wanted now.
            fitting = [*wanted[: len(wanted) - cut], *shorter[len(wanted) - cut :]]
            if self._width(fitting) <= width:
                return fitting
        while self._width([*shorter[: len(first)], *last]) > width and first:
            first.pop()
        return [*shorter[: len(first)], *last]

    @staticmethod
    def _width(hints: Sequence[Hint]) -> int:
        cells = sum(width_of(hint.shown) + width_of(hint.words) + 1 for hint in hints)
        return cells + BETWEEN * (len(hints) - 1) + 2

    def render_line(self, y: int) -> Strip:
        style = self.visual_style.rich_style
        segments = [Segment(" ", style)]
        self._spans = []
        column = 1
        for hint in self.fitting(self.size.width):
            start = column
            key = Segment(hint.shown, style + Style(bold=True, underline=True))
            words = Segment(f" {hint.words}", style)
            segments += [key, words, Segment(" " * BETWEEN, style)]
            column += width_of(hint.shown) + width_of(hint.words) + 1
            self._spans.append((start, column, hint))
            column += BETWEEN
        return Strip(segments).adjust_cell_length(self.size.width, style)

    def key_at(self, x: int) -> str | None:
        """The key that a click in this column presses; of several in one hint the one that is pointed at."""
        for start, end, hint in self._spans:
            if start <= x < end:
                sign = hint.shown[x - start : x - start + 1].strip()
                return KEY_NAMES.get(sign, sign) if sign and " " in hint.shown else hint.key
        return None

    def on_click(self, event: events.Click) -> None:
        key = self.key_at(event.x)
        if key is not None:
            self.app.simulate_key(key)
            event.stop()
