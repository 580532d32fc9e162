"""How slow work tells what it is doing, without knowing who listens."""

from __future__ import annotations

from typing import Protocol


class Progress(Protocol):
    """Called with what is being done, how many are done, and how many there are (0 when not known)."""

    def __call__(self, what: str, done: int, total: int) -> None: ...


def quiet(what: str, done: int, total: int) -> None:
    """Progress that nobody watches."""
