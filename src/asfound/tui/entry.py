"""How a screen makes itself known: a module in `screens/` with `SCREEN = ScreenEntry(...)` is found by being there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from textual.screen import Screen

from asfound.registry import load_folder


@dataclass(frozen=True, slots=True)
class ScreenEntry:
    """A screen that can be gone to.

    Attributes
    ----------
    key : str
        The letter that opens it from anywhere; empty for a screen that is reached from another.
    more_keys : tuple of str
        Other keys that open it: where a picture is shown its letter may mean something else.
    is_over : bool
        Whether it opens over the screen in front, to which Escape goes back, and is no place of its own.
    title : str
        As the top line and the help name it.
    factory : callable
        Makes the screen, an `ArchiveScreen`. Only called without arguments when `key` is not empty.
    help : str
        What the screen is for, in a sentence or two.
    """

    key: str
    title: str
    factory: Callable[..., Screen[Any]]
    help: str
    more_keys: tuple[str, ...] = ()
    is_over: bool = False

    @property
    def keys(self) -> tuple[str, ...]:
        """Every key that opens it."""
        return (self.key, *self.more_keys) if self.key else ()

    @property
    def in_short(self) -> str:
        """The first sentence of `help`."""
        return self.help.split(". ")[0].rstrip(".")


def load_entries() -> dict[str, ScreenEntry]:
    """Every screen by the name of its module."""
    found = load_folder("asfound.tui.screens", "SCREEN")
    return {name: entry for name, entry in found.items() if isinstance(entry, ScreenEntry)}
