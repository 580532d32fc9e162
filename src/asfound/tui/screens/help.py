"""The keys of the screen it was asked from, in that screen's own words."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping

from textual import events
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Static

from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import ScreenEntry
from asfound.tui.keys import Key
from asfound.tui.toolkit_insides import bound_keys
from asfound.tui.words import key_sign

EVERYWHERE = {
    "a digit": "opens the number box: type a tag number, Enter shows how it was",
    "/": "finds by words",
    ";": "edits the tag in hand: every field",
    ":": "writes a log line, for the tag in hand or any other: 17 off bag 4 clip rusted, yesterday 14:20 17 off",
    "'": "compares the tag in hand: now beside as found",
    "a": "adds photos and clips, on screens where a means nothing else",
    "u": "takes the last step back; asks before it goes back past this sitting",
    "U": "brings back what was taken back last",
    "esc": "back",
    "?": "this help",
    "ctrl+p": "lists what you can do here; type to narrow it",
    "ctrl+t": "dark shop or bright yard",
    "q": "leave; everything is saved already",
}

KEY_COLUMNS = 21
AROUND = 6
"""Columns at both sides that are not for words: padding and the scroll bar."""


class HelpScreen(ArchiveScreen):
    ABOUT = "The keys of the screen before."
    KEYS = (
        Key("space,j", "page(1)", "further down", "more"),
        Key("k", "page(-1)", "further up"),
        Key("up,down", "", "the lines above and below", shown="up down"),
    )
    DEFAULT_CSS = "HelpScreen VerticalScroll { padding: 1 2; } HelpScreen VerticalScroll Static { height: auto; }"

    def __init__(self, of: ArchiveScreen | None = None) -> None:
        super().__init__()
        self.of = of

    def body(self) -> ComposeResult:
        with VerticalScroll():
            yield Static(self.text(), markup=False)

    def where(self) -> str:
        scroll = self.query_one(VerticalScroll)
        lines, shown = scroll.virtual_size.height, scroll.size.height
        if lines <= shown or not shown:
            return "Keys"
        last = min(lines, round(scroll.scroll_y) + shown)
        return f"Keys, to line {last} of {lines}" + ("; more below: space" if last < lines else "")

    def words_of_key(self, key: Key) -> str | None:
        return key.short if self.query_one(VerticalScroll).max_scroll_y else None

    def reload(self) -> None:
        self.call_after_refresh(self.refresh_lines)

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        self.query_one("VerticalScroll Static", Static).update(self.text())

    def on_mount(self) -> None:
        self.watch(self.query_one(VerticalScroll), "scroll_y", self.refresh_lines, init=False)

    def action_page(self, by: int) -> None:
        scroll = self.query_one(VerticalScroll)
        scroll.scroll_to(y=scroll.scroll_y + by * (scroll.size.height - 2), animate=False)

    def text(self) -> str:
        """The whole help."""
        room = self.app.size.width - AROUND
        parts: list[str] = []
        if self.of is not None:
            parts.append(self.of.ABOUT)
            parts.append(key_lines("Here", words_of(self.of.KEYS), room))
            if any(canvas.can_focus for canvas in self.of.query(Canvas)):
                parts.append(key_lines("On the picture", words_of(Canvas.KEYS), room))
        parts.append(key_lines("Everywhere", EVERYWHERE, room))
        parts.append(key_lines("To go to", self._places(), room))
        return "\n\n".join(parts)

    def _places(self) -> dict[str, str]:
        """The keys that go to places from there, without those that mean something else on that screen."""
        nodes = [self.of, *self.of.query("*")] if self.of is not None else []
        taken = {key for node in nodes for key in bound_keys(node)}
        places = {}
        for entry in self.session.entries.values():
            free = [key_sign(key) for key in entry.keys if key not in taken]
            if free:
                places[" ".join(free)] = entry.title
        return places


def words_of(keys: Iterable[Key]) -> dict[str, str]:
    """Keys, as written for people, and what each does."""
    return {key.sign: key.does for key in keys if key.does}


def key_lines(title: str, words: Mapping[str, str], room: int) -> str:
    """Keys and what they do in `room` columns; what goes on in a further line stands below its words."""
    wrap = textwrap.TextWrapper(
        max(KEY_COLUMNS + 20, room), subsequent_indent=" " * KEY_COLUMNS, break_on_hyphens=False
    )
    return "\n".join([title, *(wrap.fill(f"  {key:<{KEY_COLUMNS - 3}} {does}") for key, does in words.items())])


SCREEN = ScreenEntry("", "Keys", HelpScreen, HelpScreen.ABOUT)
