"""The walk round: what is photographed of a machine before anything on it is touched."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

WalkState = Literal["pictured", "not here", "open", "late", "lost"]


@dataclass(frozen=True, slots=True)
class WalkItem:
    """Something to photograph.

    Attributes
    ----------
    key : str
        By which answers know it.
    look_for : str
        What the picture should show; empty for an item of the person's own.
    is_own : bool
        Whether the person put it on the list.
    """

    key: str
    name: str
    look_for: str = ""
    is_own: bool = False


@dataclass(frozen=True, slots=True)
class WalkAnswer:
    """A picture that shows an item, or the reason why this machine has no such thing."""

    item: str
    picture_id: int | None = None
    not_here: str = ""


@dataclass(frozen=True, slots=True)
class WalkStanding:
    """An item with how it stands.

    Attributes
    ----------
    state : WalkState
        "late": all its pictures are from after the lift out; "lost": there is none, and the engine has been out.
    files : tuple of str
        Names of the pictures that were said to show it, oldest first.
    """

    item: WalkItem
    state: WalkState
    files: tuple[str, ...] = ()

    @property
    def is_answered(self) -> bool:
        """Whether a picture from before the lift out shows it, or this machine has no such thing."""
        return self.state in ("pictured", "not here")
