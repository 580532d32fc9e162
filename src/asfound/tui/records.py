"""What the screens ask of the written record: all that is said of a thing, and one end of it by what it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from asfound.model.tags import EndLetter

if TYPE_CHECKING:
    from asfound.tui.service import FindEntry


@dataclass(frozen=True, slots=True)
class CardEntry:
    """All that is written of one thing.

    Attributes
    ----------
    label : str
        Its number as it is typed: "17", or "12.2" where several things have the number.
    fields : tuple of (name, words)
        In the order in which to read them.
    notes : tuple of str
        What to know beside them.
    snags : tuple of str
        What is open about it.
    cautions : tuple of str
    """

    label: str
    name: str
    fields: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    snags: tuple[str, ...]
    cautions: tuple[str, ...]


class Records(Protocol):
    """The part of `Service` that is about what is written down."""

    def card(self, tag_id: int) -> CardEntry:
        """All that is written of one thing."""

    def find_end(self, tag_id: int, end: EndLetter) -> FindEntry | None:
        """One end of exactly this thing, whatever other things have its number; None when it has no such end."""

    def off_at_s(self, tag_id: int) -> float | None:
        """When a thing first came off, as Unix seconds; None while the log does not say so."""
