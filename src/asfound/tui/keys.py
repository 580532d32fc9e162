"""A key of a screen, told once: from its row follow the binding, the foot, the help and the list of commands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from textual.binding import Binding

from asfound.tui.widgets.key_line import Hint
from asfound.tui.words import key_sign


@dataclass(frozen=True, slots=True)
class Key:
    """A key, or keys that do the same.

    Attributes
    ----------
    keys : str
        As the toolkit names them, with commas: "x,r". The first is pressed when the foot is clicked. Of an action with
        `{by}` the first key goes back and the last one on: "comma,full_stop" for "step({by})".
    action : str
        What is run; empty for a key that a widget of the screen takes itself.
    does : str
        What it does, for the help; empty where the row before tells it too.
    short : str
        The same in one or two words for the foot, and in one word behind a bar, where room is short: "how it was|look".
        Empty for a key that the foot leaves out.
    shown : str
        As a person reads the keys, where that is not how they are named.
    is_first : bool
        Whether it goes before the same key of a widget in hand.
    of : str
        The class of the widget of the screen whose action it is; empty where it is the screen's.
    """

    keys: str
    action: str
    does: str
    short: str = ""
    shown: str = ""
    is_first: bool = False
    of: str = ""

    @property
    def sign(self) -> str:
        """As a person reads it in the help: "x or r", "[ ]"."""
        if self.shown:
            return self.shown
        return " ".join(map(key_sign, self.keys.split(","))) if "{by}" in self.action else key_sign(self.keys)

    @property
    def pressed(self) -> str:
        """The key that a click on the foot presses."""
        names = self.keys.split(",")
        return names[-1] if "{by}" in self.action else names[0]

    @property
    def name(self) -> str:
        """What it does in a few words, for the list of commands."""
        return self.short.partition("|")[0] or self.does

    def hint(self, words: str = "") -> Hint:
        """As the foot shows it now, with other words than `short` where some are given."""
        told, _, one_word = (words or self.short).partition("|")
        shown = self.sign if "{by}" in self.action else key_sign(self.pressed)
        return Hint(self.pressed, self.shown or shown, told, one_word)

    def bindings(self) -> Iterator[Binding]:
        """What the toolkit binds."""
        names = self.keys.split(",")
        if not self.action:
            return
        if "{by}" not in self.action:
            yield Binding(self.keys, self.action, self.name, show=False, priority=self.is_first)
            return
        for name in names:
            by = "1" if name == names[-1] else "-1"
            yield Binding(name, self.action.replace("{by}", by), self.name, show=False, priority=self.is_first)


def bindings_of(keys: Iterable[Key], of: str = "") -> list[Binding]:
    """What the toolkit binds for those keys of a table that a screen takes, or a widget of it."""
    return [binding for key in keys if key.of == of for binding in key.bindings()]


NARROW = Key("slash", "find_words", "show only rows with these words; more words narrow it", "narrow")
UNDO = Key("u", "app.undo", "take the last step back", "undo")
BACK = Key("escape", "back", "back", "back", shown="esc")
BOOK = (
    Key("o", "app.open_book", "open the printed book; asks where to print it if there is none"),
    Key("P", "app.print_book", "print the book again as a PDF"),
)
