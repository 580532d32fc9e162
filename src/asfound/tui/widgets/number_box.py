"""The box that opens when a digit is typed anywhere: it finds a tag while its number is typed."""

from __future__ import annotations

from collections.abc import Callable

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from asfound.tui.service import FindEntry
from asfound.tui.words import fit_words, moment_words, split_number

MOST_SHOWN = 5


class NumberBox(Widget, can_focus=True):
    """A number being typed, and the tag ends that begin with it.

    Enter does what `enter_words` says and Space what `space_words` says; empty words switch Space off.
    """

    DEFAULT_CSS = """
    NumberBox { layer: over; dock: bottom; width: 1fr; height: 3; display: none; background: $panel; color: $text; }
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
        self.words = ""
        self.title = "Number"
        self.enter_words = ""
        self.space_words = ""
        self.makes_new = False
        self.empty_words = ""
        self.entries: list[FindEntry] = []
        self.index = 0
        self._moved = False
        self._find: Callable[[str], list[FindEntry]] = lambda words: []
        self._focus_before: Widget | None = None

    @property
    def is_open(self) -> bool:
        return bool(self.display)

    def open(
        self,
        words: str,
        *,
        find: Callable[[str], list[FindEntry]],
        title: str = "Number",
        enter_words: str = "show the picture",
        space_words: str = "",
        makes_new: bool = False,
    ) -> None:
        """Start with what was typed already."""
        self.words, self.title = words, title
        self.enter_words, self.space_words = enter_words, space_words
        self.makes_new = makes_new
        self.empty_words = "Type the number; add a or b for the end." if makes_new else "Type words of a name."
        self._find = find
        if not self.is_open:
            self._focus_before = self.screen.focused
        self.display = True
        self.screen.set_focus(self)
        self._look_up()

    def close(self) -> None:
        """Give the keys back to where they were."""
        self.display = False
        self.screen.set_focus(self._focus_before)

    def on_key(self, event: events.Key) -> None:
        if event.key in ("ctrl+q", "ctrl+p"):
            return
        event.stop()
        event.prevent_default()
        self.take_key(event)

    def take_key(self, event: events.Key) -> None:
        """Act on a key."""
        if event.key == "escape":
            self.close()
        elif event.key == "backspace":
            self.words = self.words[:-1]
            if self.words or self.title != "Number":
                self._look_up()
            else:
                self.close()
        elif event.key in ("down", "tab"):
            self._choose(self.index + 1)
        elif event.key in ("up", "shift+tab"):
            self._choose(self.index - 1)
        elif event.key == "enter":
            self._finish(by_space=False)
        elif event.key == "space" and (self.space_words or self.makes_new) and self.words[:1].isdigit():
            self._finish(by_space=True)
        elif event.character and event.character.isprintable():
            self.words += event.character
            self._look_up()

    def on_click(self, event: events.Click) -> None:
        if 1 <= event.y <= len(self._shown()):
            self.index = event.y - 1
            self._finish(by_space=False)
        event.stop()

    def _finish(self, *, by_space: bool) -> None:
        words = self.words.strip()
        if not words:
            self.close()
            return
        entry = self.entries[self.index] if self.entries else None
        if entry is not None and self._moved:
            words = exact_words(entry)
        self.close()
        self.post_message(self.Done(words, entry, by_space=by_space))

    def _choose(self, index: int) -> None:
        self.index = max(0, min(index, len(self._shown()) - 1))
        self._moved = True
        self.refresh()

    def _look_up(self) -> None:
        self.entries = self._find(self.words) if self.words.strip() else []
        self.index = 0
        self._moved = False
        self.styles.height = 2 + max(1, len(self._shown()))
        self.refresh()

    def _shown(self) -> list[FindEntry]:
        return self.entries[:MOST_SHOWN]

    def render_line(self, y: int) -> Strip:
        width = self.size.width
        style = self.visual_style.rich_style
        last = self.size.height - 1
        if y == 0:
            number, end = split_number(self.words)
            said = f"{number} end {end}" if end else self.words
            text = fit_words(f" {self.title}: {said}▏  {self._more()}", width)
            return Strip([Segment(text, style + Style(bold=True, reverse=True))], width)
        if y == last:
            parts = [f"enter {self.enter_words}"]
            if self.space_words:
                parts.append(f"space {self.space_words}")
            return Strip([Segment(fit_words("  " + "   ".join([*parts, "esc close"]), width), style)], width)
        shown = self._shown()
        if not shown:
            none = f"No tag begins with {self.words}." if self.words else self.empty_words
            if self.words and self.makes_new:
                none = f"{split_number(self.words)[0]} is a new number."
            return Strip([Segment(fit_words("  " + none, width), style)], width)
        if y - 1 >= len(shown):
            return Strip.blank(width, style)
        text = fit_words(("▸ " if y - 1 == self.index else "  ") + entry_words(shown[y - 1], width - 2), width)
        chosen = Style(bold=True, reverse=True) if y - 1 == self.index else Style()
        return Strip([Segment(text, style + chosen)], width)

    def _more(self) -> str:
        hidden = len(self.entries) - MOST_SHOWN
        return f"({hidden} more; go on typing)" if hidden > 0 else ""


def exact_words(entry: FindEntry) -> str:
    """What one would type to mean exactly this end of exactly this thing."""
    order = f".{entry.tag.order}" if entry.tag.order > 1 else ""
    end = entry.end.end.lower() if entry.tag.ends == 2 else ""
    return f"{entry.tag.number}{order}{end}"


def entry_words(entry: FindEntry, width: int) -> str:
    """A tag end in one line: number, name, place, and when its picture was taken."""
    one_ended = entry.tag.ends == 1
    number = fit_words(entry.tag.number + ("" if one_ended else f" {entry.end.end}"), 7)
    picture = moment_words(entry.as_found_at) if entry.as_found else "no picture"
    place = entry.end.place or entry.spot_name
    state = f" {entry.state}" if entry.state else ""
    middle = (
        f"{entry.tag.name or entry.tag.kind}{state}, {place}" if place else f"{entry.tag.name or entry.tag.kind}{state}"
    )
    room = max(8, width - len(number) - len(picture) - 4)
    return f"{number}  {fit_words(middle, room)}  {picture}"
