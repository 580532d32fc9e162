"""A value out of the manual, or what was reached of it, typed in one line where the thing is in hand."""

from __future__ import annotations

from asfound.actions.values import type_value
from asfound.core.refit.typed_value import EXAMPLE
from asfound.model.tags import Tag
from asfound.tui.base import ArchiveScreen
from asfound.tui.keys import Key

VALUE = Key("v", "value", "a value from the manual with its page, or what was reached of it")


def ask_value(screen: ArchiveScreen, tag: Tag, label: str) -> None:
    """Ask for a value of a thing and write it down; what was typed is told back, with how it stands."""

    def answered(text: str) -> None:
        standing = screen.attempt(lambda: type_value(screen.archive, tag, text))
        if standing is not None:
            screen.changed(f"{label}, {standing}. u takes it back.")

    screen.ask(f"{label}: {EXAMPLE}, or reached 44 Nm", answered)
