"""What the screens ask of the written record: all that is said of a thing, and one end of it by what it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Protocol

from asfound.actions.tag_card import CardField
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
    fields : tuple of CardField
        In the order in which to read them.
    notes : tuple of str
        What to know beside them.
    snags : tuple of str
        What is open about it.
    cautions : tuple of str
    """

    label: str
    name: str
    fields: tuple[CardField, ...]
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
    tag_ids: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class FitEntry:
    """A step of the way back; `waits_for` is empty for what is free to fit now.

    Attributes
    ----------
    tag_id : int or None
        None for a hold: work stops there until somebody has looked.
    loose : str
        What it goes after that is in by hand only.
    hold : str
        The name of the hold; empty for a thing.
    said : str
        Of a thing that is on and was called wrong, or could not be told, when it was looked over: those words.
    """

    tag_id: int | None
    label: str
    words: str
    waits_for: str
    loose: str
    bag: str
    hold: str = ""
    said: str = ""


@dataclass(frozen=True, slots=True)
class HoldRow:
    """One thing that is open at a hold, and where it is mended: a thing, a bag or a snag.

    Attributes
    ----------
    is_sure : bool
        False where the record cannot tell, and somebody must look.
    """

    why: str
    tag_id: int | None
    bag: str
    snag: str
    is_sure: bool


@dataclass(frozen=True, slots=True)
class HoldEntry:
    """Where work stops until somebody has looked.

    Attributes
    ----------
    name : str
        "before lift out", "before lift in" or "before first start".
    looked : str
        When somebody looked and who; empty while nobody said so.
    cautions : tuple of str
    are_due : bool
        Whether the cautions were not shown yet today.
    words : str
        What goes with every such list.
    """

    name: str
    rows: tuple[HoldRow, ...]
    looked: str
    cautions: tuple[str, ...]
    are_due: bool
    words: str


@dataclass(frozen=True, slots=True)
class SnagEntry:
    """What was broken, stuck, missing, to be bought or decided.

    Attributes
    ----------
    tie : str
        The thing, bag or place it is tied to, in words.
    buy : str
        What to buy; empty for nothing, or when it was bought.
    closed : str
        How it was closed and when; empty while it is open.
    """

    label: str
    what: str
    tie: str
    tag_id: int | None
    picture_id: int | None
    bag: str
    buy: str
    found: str
    closed: str


@dataclass(frozen=True, slots=True)
class LookEntry:
    """A refit picture of a tag end to look at beside how it was.

    Attributes
    ----------
    label, words : str
        The end as it is marked ("17A"), and with its name.
    before_at, after_at : (float, float)
        Where the end is, in fractions of each picture; `after_at` is None where nobody has said.
    """

    tag_id: int
    end: EndLetter
    label: str
    words: str
    before_id: int
    after_id: int
    before_at: tuple[float, float]
    after_at: tuple[float, float] | None


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

    def write_happened(self, words: str) -> str:
        """Write down what happened, in one typed line ("17 off bag 4 clip rusted"); what was understood, in words."""

    def hand_over(self, note: str) -> None:
        """Write today's note: what to know when work goes on; a later one of the day replaces it."""

    def note_of_today(self) -> str:
        """The note handed over today so far."""

    def bags(self) -> list[BagEntry]:
        """Every bag, in order of its label."""

    def count_back(self, label: str, pieces: int) -> None:
        """Write down how many pieces were found in a bag when it was opened again."""

    def bag_is_for(self, label: str, numbers: str) -> None:
        """Write down tags that a bag's fasteners belong to, by their numbers with spaces or commas between."""

    def fit_steps(self) -> list[FitEntry]:
        """What is still to be fitted, in order: a draft, which the machine's service manual comes before."""

    def holds(self) -> list[HoldEntry]:
        """The three holds in the order of the work, with what the record says is open at each."""

    def cautions_shown(self, hold: str) -> None:
        """Say that the cautions of a hold were shown today."""

    def look_at_hold(self, hold: str, by_whom: str) -> None:
        """Write down that somebody looked at everything at a hold."""

    def snags(self) -> list[SnagEntry]:
        """Every snag, open ones first, in the order in which they were entered."""

    def add_snag(self, what: str) -> str:
        """Write a snag down; a number at the beginning ties it to that thing. What it is called."""

    def close_snag(self, label: str, how: str) -> None:
        """Say that nothing is left to be done about a snag, and how that came; one that is closed opens again."""

    def buy_for_snag(self, label: str, what: str) -> None:
        """Say what to buy for a snag; empty when it was bought."""

    def looks_for(self, tag_id: int) -> list[LookEntry]:
        """Refit pictures of a thing to look over, those in which it is pinned first; empty when there are none."""

    def look_over(
        self,
        tag_id: int,
        answer: str,
        *,
        end: EndLetter | None,
        picture_id: int,
        beside_id: int,
        note: str,
    ) -> str:
        """Write down what a person says of it: "right", "wrong", "can't tell"; the snag that this opens, or empty."""

    def answer_gap(self, gap: Gap, words: str) -> int:
        """Say why a gap stays, or that there is none ("no second end", "new tape"); how many gaps that closes."""
