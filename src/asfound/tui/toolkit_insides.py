"""The one module that touches what Textual keeps to itself. Read it again whenever Textual is updated.

Public names are used everywhere else. Each private one has its reason:

`write_to_terminal` uses `App._driver`
    A question to the terminal is no picture, so it must not go through the compositor, which is all that is public.
`every_screen` uses `App._screen_stacks`
    Public are only the stack of the mode in front and that of a mode whose name is known.
`has_left` uses `App._screen_stack`
    The stack is empty once a person has left. The public `App.screen_stack` makes a copy, and this is asked with
    every key.
`bind_keys` uses `App._bindings`
    Screens are found when the program starts, so their keys are bound then. The public `App.bind` says of itself that
    it may be taken away.
`bound_keys` uses `DOMNode._bindings`
    The help tells the keys of a screen that is not in front; the public `active_bindings` knows only the one that is.
`show_rest` uses `Input._suggestion`
    How a begun word goes on depends on what the arrows chose. The public `Suggester` knows only the text, and answers
    a moment later.
`LateStrip` uses `Strip._segments` and `Strip._render_cache`
    A row of a picture is written to the terminal without a style object per cell, ten times as fast (`canvas.strip`).
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

from rich.segment import Segment
from textual.app import App
from textual.dom import DOMNode
from textual.screen import Screen
from textual.strip import Strip
from textual.widgets import Input


def write_to_terminal(app: App[Any], text: str) -> bool:
    """Send text past the compositor, such as a question to the terminal; False when there is no terminal."""
    driver = app._driver
    if driver is None:
        return False
    driver.write(text)
    return True


def every_screen(app: App[Any]) -> Iterator[Screen[Any]]:
    """Every screen that is open in any mode, the lowest of each mode first."""
    for stack in app._screen_stacks.values():
        yield from stack


def has_left(app: App[Any]) -> bool:
    """Whether no screen is open any more, so that a key goes nowhere."""
    return not app._screen_stack


def bind_keys(app: App[Any], keys: Collection[str], action: str, description: str) -> None:
    """Bind keys to an action of the app while it starts."""
    app._bindings.bind(",".join(keys), action, description, show=False)


def bound_keys(node: DOMNode) -> Collection[str]:
    """The names of the keys that a screen or widget binds itself."""
    return node._bindings.key_to_bindings.keys()


def show_rest(field: Input, text: str) -> None:
    """Show in a field, faintly behind the cursor, how its text would go on; `text` is the whole, empty for nothing."""
    field._suggestion = text


class LateStrip(Strip):
    """A strip whose segments are built when someone asks for them, such as an export or a filter.

    A subclass gives `build_segments`, and `encode` for what is written to the terminal.
    """

    __slots__ = ["_built"]

    def __init__(self, columns: int) -> None:
        super().__init__((), columns)
        self._built: list[Segment] | None = None

    def build_segments(self) -> list[Segment]:
        """The segments of the strip, as wide as it is in all."""
        raise NotImplementedError

    def encode(self) -> str:
        """The strip as text with terminal sequences."""
        raise NotImplementedError

    @property
    def _segments(self) -> list[Segment]:
        if self._built is None:
            self._built = self.build_segments()
        return self._built

    @_segments.setter
    def _segments(self, segments: list[Segment]) -> None:
        """Leave out the segments of the base class, which are none."""

    def encoded_once(self) -> str:
        """What `encode` gives, which is asked only once."""
        if self._render_cache is None:
            self._render_cache = self.encode()
        return self._render_cache
