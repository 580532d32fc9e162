"""The box that opens when a digit is typed anywhere: it finds a tag while its number is typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from asfound.tui.service import FindEntry
from asfound.tui.words import fit_words, moment_words, split_number, width_of

MOST_SHOWN = 5


@dataclass(frozen=True, slots=True)
class Choice:
    """A row of the box: what would be typed to mean it, its line, and the end it stands for if that is known."""

    words: str
    line: Callable[[int], str]
    entry: FindEntry | None

    def is_of(self, number: str, end: str | None) -> bool:
        """Whether it is an end, or this end, of a thing with exactly this number."""
        return self.entry is not None and number in names_of(self.entry) and end in (None, self.entry.end.end)

    @property
    def name(self) -> str:
        """As it is spoken of: ``112 B``."""
        number, end = split_number(self.words)
        return f"{number} {end}" if end else number


class NumberBox(Widget, can_focus=True):
    """A number being typed, and the tag ends that begin with it.

    The bottom line says what Enter and Space do, and to which end. The marked row is the end that is pinned: of a known
    number the first end that no picture shows; Tab marks the other.
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
        self.key_words = {"enter": "", "space": ""}
        self.pins: tuple[str, ...] = ()
        self.empty_words = ""
        self.choices: list[Choice] = []
        self.index = 0
        self._moved = False
        self._best: Choice | None = None
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
        self.words, self.title = words, title
        self.key_words = {"enter": enter_words, "space": space_words}
        self.pins = tuple(pins)
        self.empty_words = "Type the number; add a or b for the end." if pins else "Type words of a name."
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
            self._finish("enter")
        elif event.key == "space" and (self.key_words["space"] or "space" in self.pins) and self.words[:1].isdigit():
            self._finish("space")
        elif event.character and event.character.isprintable():
            self.words += event.character
            self._look_up()

    def on_click(self, event: events.Click) -> None:
        if 1 <= event.y <= len(self._shown()):
            self._choose(event.y - 1)
            self._finish("enter")
        event.stop()

    def _finish(self, key: str) -> None:
        words = self.words.strip()
        if not words:
            self.close()
            return
        choice = self.meant(key)
        if choice is not None and (key in self.pins or self._moved):
            words = choice.words
        self.close()
        self.post_message(self.Done(words, choice.entry if choice else None, by_space=key == "space"))

    def meant(self, key: str) -> Choice | None:
        """What a key acts on: the marked row; to be shown, the best one with a picture unless a row was chosen."""
        if self.choices and (key in self.pins or self._moved):
            return self.choices[self.index]
        return self._best

    def _choose(self, index: int) -> None:
        if self.choices:
            self.index = index % min(len(self.choices), MOST_SHOWN)
            self._moved = True
            self.refresh()

    def _look_up(self) -> None:
        entries = self._find(self.words) if self.words.strip() else []
        self.choices = [Choice(exact_words(one), partial(entry_words, one), one) for one in entries]
        self._best = self.choices[0] if self.choices else None
        self.index = 0
        self._moved = False
        if self.pins and self.words.strip():
            self._put_meant_first()
        self.styles.height = 2 + max(1, len(self._shown()))
        self.refresh()

    def _put_meant_first(self) -> None:
        """The ends of exactly this number come first, or that it is new; the first end not yet pinned is marked."""
        number, end = split_number(self.words)
        meant = [one for one in self.choices if one.is_of(number, end)]
        meant.sort(key=lambda one: (one.entry.tag.order, one.entry.end.end) if one.entry else (0, ""))
        others = [choice for choice in self.choices if choice not in meant]
        if not meant and number[:1].isdigit() and not any(number in names_of(one) for one in self._find(number)):
            letters = [end] if end else ["A", "B"]
            meant = [Choice(f"{number}{one.lower()}", partial(new_words, number, one), None) for one in letters]
        self.choices = [*meant, *others]
        unpinned = [place for place, one in enumerate(meant[:MOST_SHOWN]) if one.entry is None or not one.entry.pins]
        self.index = unpinned[0] if unpinned else 0

    def _shown(self) -> list[Choice]:
        return self.choices[:MOST_SHOWN]

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
            return Strip([Segment(fit_words("  " + self._keys(width), width), style)], width)
        shown = self._shown()
        if not shown:
            none = self._none_words() if self.words else self.empty_words
            return Strip([Segment(fit_words("  " + none, width), style)], width)
        if y - 1 >= len(shown):
            return Strip.blank(width, style)
        text = fit_words(("▸ " if y - 1 == self.index else "  ") + shown[y - 1].line(width - 2), width)
        chosen = Style(bold=True, reverse=True) if y - 1 == self.index else Style()
        return Strip([Segment(text, style + chosen)], width)

    def _keys(self, width: int) -> str:
        parts = []
        for key, does in self.key_words.items():
            choice = self.meant(key)
            if does and choice is not None:
                parts.append(f"{key} {does.format(choice.name)}")
        if len(self._shown()) > 1:
            parts.append("tab other end" if self.pins else "tab next")
        return "   ".join([*parts, "esc close"])

    def _none_words(self) -> str:
        if self.words[:1].isdigit():
            return f"No tag begins with {self.words}. To make it, open a picture of it."
        return "Nothing has all these words. Fewer words find more."

    def _more(self) -> str:
        hidden = len(self.choices) - MOST_SHOWN
        return f"({hidden} more; go on typing)" if hidden > 0 else ""


def names_of(entry: FindEntry) -> tuple[str, str]:
    """Both ways to type a thing's number: ``12``, and ``12.2`` where it must be told from others."""
    return entry.tag.number, f"{entry.tag.number}.{entry.tag.order}"


def new_words(number: str, end: str, width: int) -> str:
    """The row of an end of a number that does not exist yet."""
    return fit_words(f"{fit_words(f'{number} {end}', 7)}  a new number, end {end}", width)


def exact_words(entry: FindEntry) -> str:
    """What one would type to mean exactly this end of exactly this thing."""
    order = f".{entry.tag.order}" if entry.tag.order > 1 else ""
    end = entry.end.end.lower() if entry.tag.ends == 2 else ""
    return f"{entry.tag.number}{order}{end}"


def entry_words(entry: FindEntry, width: int) -> str:
    """A tag end in one line: number, name, place, and when its picture was taken."""
    one_ended = entry.tag.ends == 1
    order = f".{entry.tag.order}" if entry.tag.order > 1 else ""
    number = fit_words(entry.tag.number + order + ("" if one_ended else f" {entry.end.end}"), 7)
    picture = moment_words(entry.as_found_at) if entry.as_found else "no picture"
    place = entry.end.place or entry.spot_name
    state = f" ({entry.state})" if entry.state else ""
    middle = ", ".join(filter(None, (f"{entry.tag.name or entry.tag.kind}{state}", place)))
    room = max(8, width - width_of(number) - len(picture) - 4)
    return f"{number}  {fit_words(middle, room)}  {picture}"
