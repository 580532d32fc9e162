"""What the book tells, in words ready to print; nothing here knows of paper."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.core.codes.caution_table import Caution
from asfound.core.refit.steps import HoldPoint, Lift, OwnStep


@dataclass(frozen=True, slots=True)
class Pinned:
    """A pin to draw on a printed picture.

    Attributes
    ----------
    label : str
        Number and end: "17A".
    is_said : bool
        False for a proposal that nobody confirmed.
    box_frac : (float, float) or None
        Width and height of its box, where it has one.
    """

    label: str
    x_frac: float
    y_frac: float
    is_said: bool = True
    box_frac: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """A picture to print.

    Attributes
    ----------
    size_px : (int, int)
        Width and height as displayed.
    taken : str
        When, in words; empty when it is not known.
    spot_id : int or None
    """

    picture_id: int
    file: str
    size_px: tuple[int, int]
    taken: str
    spot_id: int | None = None


@dataclass(frozen=True, slots=True)
class BookEnd:
    """One end of a tagged thing.

    Attributes
    ----------
    letter : str
        "A", "B", or empty when the thing has one end.
    place : str
    side : str
        "stays behind" or "engine side"; empty when nobody said.
    fields : tuple of (str, str)
        What else was said of it.
    picture : Shown or None
        Its as-found picture, with `pin`.
    is_dated : bool
        False when no time of the picture is known, so that it may be from after the thing came off.
    """

    letter: str
    place: str
    side: str
    fields: tuple[tuple[str, str], ...]
    picture: Shown | None = None
    pin: Pinned | None = None
    is_dated: bool = True


@dataclass(frozen=True, slots=True)
class TagEntry:
    """One thing as it is printed.

    Attributes
    ----------
    label : str
        Its number as it is typed, ".2" where several things have it.
    has_bar : bool
        Whether the number could be read upside down, so that a bar under it is down.
    standing : str
        What the record says of it: "off since 2025-10-18", "refitted by hand, 2026-04-26".
    bags, snags : tuple of str
        A line each.
    waits_for : tuple of str
        What is still to be done before it: labels of tags, names of holds.
    loops : tuple of str
        Loops of rules that it stands in, a line each.
    cautions : tuple of Caution
    values : tuple of (str, str)
        What the person typed from the manual: which value, and what it is and what was reached.
    """

    tag_id: int
    label: str
    name: str
    kind: str
    has_bar: bool
    standing: str
    fields: tuple[tuple[str, str], ...]
    ends: tuple[BookEnd, ...]
    bags: tuple[str, ...] = ()
    snags: tuple[str, ...] = ()
    waits_for: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    loops: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    values: tuple[tuple[str, str], ...] = ()

    @property
    def heading(self) -> str:
        """The thing's name; without one its kind."""
        return self.name or self.kind or "no name"


@dataclass(frozen=True, slots=True)
class HoldEntry:
    """A hold with what the record knows to be open at it; `is_sure` False asks somebody to look."""

    point: HoldPoint
    lines: tuple[tuple[str, bool], ...]
    words: str
    passed: str = ""


@dataclass(frozen=True, slots=True)
class BagEntry:
    """A bag: counts are empty when nobody counted."""

    label: str
    name: str
    inside: tuple[str, ...]
    place: str
    tags: str
    out: str
    back: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class SnagEntry:
    """A snag with what it is tied to."""

    label: str
    about: str
    what: str
    buy: str
    is_bought: bool
    is_open: bool
    closed: str = ""


@dataclass(frozen=True, slots=True)
class GapPart:
    """Gaps under one heading, a line each."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SpotEntry:
    """A spot: the picture that shows most of its tags as found, with those tags, and a few of its other pictures.

    Attributes
    ----------
    tags : tuple of (str, str, int)
        Label with end, name, and the tag, in the order of numbers.
    """

    spot_id: int
    name: str
    picture: Shown
    pins: tuple[Pinned, ...]
    tags: tuple[tuple[str, str, int], ...]
    others: tuple[Shown, ...]
    count: int


@dataclass(frozen=True, slots=True)
class OverviewEntry:
    """A picture of the machine from afar, with boxes (spot, x, y, w, h: middle and size in fractions)."""

    picture: Shown
    spots: tuple[tuple[int, float, float, float, float], ...]


@dataclass(frozen=True, slots=True)
class WalkEntry:
    """An item of the walk round with its pictures; `words` say why there is none, or what is the matter with them."""

    name: str
    pictures: tuple[Shown, ...]
    words: str = ""


@dataclass(frozen=True, slots=True)
class DocumentEntry:
    """A document: its number, what it is with its file, what it belongs to, and its picture where it is one."""

    label: str
    called: str
    of: str
    picture: Shown | None = None


@dataclass(frozen=True, slots=True)
class DayEntry:
    """A day of the log: its note, then lines of (time, number, name, what happened)."""

    day: str
    note: str
    lines: tuple[tuple[str, str, str, str], ...]


@dataclass(frozen=True, slots=True)
class BookContent:
    """Everything that the book tells.

    Attributes
    ----------
    job : str
        The machine in the person's words.
    first_day, last_day : str
        Of the record; empty while nothing was entered.
    printed : str
        The day of printing.
    chosen : str
        Which tags it is about, when not all.
    steps : tuple of TagEntry, HoldPoint, Lift or OwnStep
        The way back in the order of the draft.
    not_off : tuple of TagEntry
        Things that the log never says to have come off.
    warnings : tuple of str
        Loops, and words of the person that could not be followed.
    """

    job: str
    front_means: str
    left_means: str
    turning_means: str
    printed: str
    first_day: str = ""
    last_day: str = ""
    chosen: str = ""
    note: str = ""
    note_day: str = ""
    counts: tuple[tuple[str, str], ...] = ()
    steps: tuple[TagEntry | HoldPoint | Lift | OwnStep, ...] = ()
    not_off: tuple[TagEntry, ...] = ()
    warnings: tuple[str, ...] = ()
    holds: tuple[HoldEntry, ...] = ()
    bags: tuple[BagEntry, ...] = ()
    belts: tuple[tuple[str, str, tuple[tuple[str, str], ...]], ...] = ()
    snags: tuple[SnagEntry, ...] = ()
    fluids: tuple[tuple[str, ...], ...] = ()
    sent_out: tuple[tuple[str, ...], ...] = ()
    to_buy: tuple[str, ...] = ()
    values: tuple[tuple[str, str], ...] = ()
    gaps: tuple[GapPart, ...] = ()
    walk: tuple[WalkEntry, ...] = ()
    documents: tuple[DocumentEntry, ...] = ()
    overviews: tuple[OverviewEntry, ...] = ()
    spots: tuple[SpotEntry, ...] = ()
    days: tuple[DayEntry, ...] = ()

    @property
    def tags(self) -> tuple[TagEntry, ...]:
        """Every thing in the book, in its order."""
        return (*(step for step in self.steps if isinstance(step, TagEntry)), *self.not_off)
