"""How a screen makes itself known: a module in `screens/` with `SCREEN = ScreenEntry(...)` is found by being there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from asfound.registry import load_folder

if TYPE_CHECKING:
    from asfound.tui.base import ArchiveScreen


@dataclass(frozen=True, slots=True)
class ScreenEntry:
    """A screen that can be gone to.

    Attributes
    ----------
    key : str
        The letter that opens it from anywhere; empty for a screen that is reached from another.
    title : str
        As the top line and the help name it.
    factory : callable
        Makes the screen. Only called without arguments when `key` is not empty.
    help : str
        What the screen is for, in a sentence or two.
    """

    key: str
    title: str
    factory: Callable[..., ArchiveScreen]
    help: str

    @property
    def in_short(self) -> str:
        """The first sentence of `help`."""
        return self.help.split(". ")[0].rstrip(".")


def load_entries() -> dict[str, ScreenEntry]:
    """Every screen by the name of its module."""
    found = load_folder("asfound.tui.screens", "SCREEN")
    return {name: entry for name, entry in found.items() if isinstance(entry, ScreenEntry)}
