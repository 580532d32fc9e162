"""The list of all that can be done here, to choose from by words; in our own words and without a sign of two cells."""

from __future__ import annotations

from textual.app import App
from textual.command import CommandPalette, SearchIcon


class WordList(CommandPalette):
    """The command palette: all that can be done on the screen in front, and the places to go to."""

    DEFAULT_CSS = "WordList SearchIcon { color: $text; }"

    def __init__(self) -> None:
        super().__init__(placeholder="What do you want to do? Type a word of it", id="--command-palette")

    @staticmethod
    def is_in_front(app: App[None]) -> bool:
        """Whether such a list is open."""
        return isinstance(app.screen, WordList)

    def on_mount(self) -> None:
        self.query_one(SearchIcon).icon = "▸"
