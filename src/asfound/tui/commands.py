"""What can be done, for the list to choose from by words: the places, the keys of the screen in front, the rest."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from textual.app import SystemCommand

from asfound.tui.base import ArchiveScreen
from asfound.tui.session import Session
from asfound.tui.words import key_sign


def list_commands(app: Session, here: ArchiveScreen | None, home: str) -> Iterator[SystemCommand]:
    """All that can be done now, `here` being the screen that the list lies over, if it is one of ours."""
    for name, entry in app.entries.items():
        if entry.key or name == home:
            yield SystemCommand(entry.title, entry.in_short, _doing(app, f"go('{name}')"))
    if here is not None:
        yield from _commands_of(here)
        yield SystemCommand("Bring in", "Add photos and clips from a folder or card", _doing(app, "bring_in"))
    yield SystemCommand(
        "Edit this tag",
        "Every field of the tag in hand (;)",
        _doing(app, "write_of_this"),
    )
    yield SystemCommand(
        "Look over this",
        "How it is now beside how it was (')",
        _doing(app, "look_over_this"),
    )
    on_paper = "The whole record as a PDF: steps, pictures, boxes to tick"
    yield SystemCommand("Print the book", on_paper, _doing(app, "print_book"))
    yield SystemCommand("Open the book", "As it was printed last", _doing(app, "open_book"))
    yield SystemCommand("Undo", "Take the last step back (u)", _doing(app, "undo"))
    yield SystemCommand("Dark or bright", "Dark shop, bright yard (ctrl+t)", _doing(app, "look"))
    if app.background.goes_on:
        yield SystemCommand("Stop the work", app.background.words, app.background.stop)
    yield SystemCommand("Keys", "What every key does here (?)", _doing(app, "help"))
    yield SystemCommand("Leave", "Everything is saved already (q)", _doing(app, "quit"))


def _doing(app: Session, action: str) -> Callable[[], object]:
    """Does an action of the app once the list is closed."""
    return partial(app.call_later, app.run_action, action)


def _commands_of(here: ArchiveScreen) -> Iterator[SystemCommand]:
    """What the keys of a screen do; moving about is left to the keys."""
    app = here.session
    for key in here.KEYS:
        for binding in key.bindings():
            # What the app does is in the list on every screen.
            if not binding.action.startswith("app."):
                taker = here.query_one(key.of) if key.of else here
                do = partial(app.call_later, app.run_action, binding.action, taker)
                yield SystemCommand(binding.description.capitalize(), f"Here: key {key_sign(binding.key)}", do)
