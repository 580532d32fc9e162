"""What the screens ask of the written record: all that is said of a thing, and one end of it by what it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from asfound.model.log import Gap
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


@dataclass(frozen=True, slots=True)
class LogEntry:
    """A line of the log in words; a struck one is not so, and stays to be read.

    Attributes
    ----------
    line : int
        Its number, by which it is struck out.
    """

    line: int
    tag_id: int | None
    when: str
    label: str
    happened: str
    words: str
    is_struck: bool
    can_be_struck: bool


@dataclass(frozen=True, slots=True)
class BagEntry:
    """A bag with what it is for and how many pieces went in and came back; None where nobody counted."""

    label: str
    labels_of_tags: tuple[str, ...]
    words: str
    place: str
    count_out: int | None
    count_back: int | None
    detail: str


@dataclass(frozen=True, slots=True)
class FitEntry:
    """A step of the way back; `waits_for` is empty for what is free to fit now.

    Attributes
    ----------
    tag_id : int or None
        None for a hold: work stops there until somebody has looked.
    loose : str
        What it goes after that is in by hand only.
    """

    tag_id: int | None
    label: str
    words: str
    waits_for: str
    loose: str
    bag: str


class Records(Protocol):
    """The part of `Service` that is about what is written down."""

    def card(self, tag_id: int) -> CardEntry:
        """All that is written of one thing."""

    def find_end(self, tag_id: int, end: EndLetter) -> FindEntry | None:
        """One end of exactly this thing, whatever other things have its number; None when it has no such end."""

    def off_at_s(self, tag_id: int) -> float | None:
        """When a thing first came off, as Unix seconds; None while the log does not say so."""

    def log_lines(self) -> list[LogEntry]:
        """What happened, the latest first."""

    def strike(self, line: int) -> None:
        """Say that a line of the log is not so."""

    def bags(self) -> list[BagEntry]:
        """Every bag, in order of its label."""

    def count_back(self, label: str, pieces: int) -> None:
        """Write down how many pieces were found in a bag when it was opened again."""

    def fit_steps(self) -> list[FitEntry]:
        """What is still to be fitted, in order: a draft, which the machine's service manual comes before."""

    def answer_gap(self, gap: Gap, words: str) -> int:
        """Say why a gap stays, or that there is none ("no second end", "new tape"); how many gaps that closes."""
