"""What came off and went back, and what the record lacks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Literal

from asfound.model.tags import EndLetter

HOW_REFITTED = ("by hand", "tight", "torqued", "marked", "checked")
"""How something was refitted; the latest word counts, the history stays."""


@dataclass(frozen=True, slots=True)
class Event:
    """Off or refitted: the two events in a thing's life.

    Attributes
    ----------
    at : datetime
        When it happened, aware; entered_at is when it was written down.
    how : str
        For "refitted": one of `HOW_REFITTED`.
    bag : str
        For "off": the bag, or "back in place"; empty when not said.
    is_day_only : bool
        Whether no more than the day is known; `at` is its last minute then.
    end : str
        "A" or "B" where only that end came off or went back; empty for the whole thing.
    """

    event_id: int
    tag_id: int
    kind: Literal["off", "refitted"]
    at: datetime
    how: str
    bag: str
    note: str
    entered_at: datetime
    is_day_only: bool = False
    end: str = ""


HAPPENINGS = (
    "off",
    "refitted",
    "capped",
    "uncapped",
    "bagged",
    "cut",
    "broken",
    "measured",
    "drained",
    "sent out",
    "came back",
    "new part",
    "repaired",
    "torque",
    "tape lost",
    "tape back",
    "note",
)
"""What the log can say of a thing, and "not so", which strikes an earlier line out; no line is ever changed."""

NOT_SO = "not so"

FILLED, BLED, LEAKS, LEFT_OUT = "filled", "bled", "leaks looked at", "left out"
"""Said of a fluid that was drained; left out is on purpose."""

COUNTED_OUT, COUNTED_BACK = "counted out", "counted back"
"""Said of a bag: how many pieces went in, and how many were found when it was opened."""

LIFTED_OUT = "lifted out"
LIFTED_IN = "lifted in"
DONE = "done"
"""Said of the whole job: the engine went out or came in, or a step of the person's own was done."""

LOOKED_OVER = "looked over"
"""A refit picture was looked at beside one of how it was, and a person said what they think of it."""

LOOK_ANSWERS = ("right", "wrong", "can't tell")
"""What a person can say then; it is their word, and the machine never says it."""


@dataclass(frozen=True, slots=True)
class LogLine:
    """One line of the log.

    Attributes
    ----------
    tag_id : int or None
        None for what is of no tag, such as oil drained.
    end : str
        "A", "B", or empty for the whole thing.
    kind : str
        One of `HAPPENINGS`, or `NOT_SO`.
    at : datetime
        When it happened, aware; the end of the day when only the day is known.
    what, amount, container, looks, grade : str
        Of a fluid: which, how much, into which container or out of which, how it looked, and what was filled in.
        Of a value: which, and what was measured or reached. Of what was sent out or came back without a number: what.
    by_whom : str
        Who did it, or checked it; to whom it was sent.
    promised : str
        The day by which what was sent out is promised back.
    strikes : int or None
        The line that this one takes back.
    is_struck : bool
        Whether a later line takes this one back.
    picture_id, beside_id : int or None
        Of something looked over: the picture of now, and the one of how it was beside it.
    picture, beside : str
        Their file names.
    """

    event_id: int
    tag_id: int | None
    end: str
    kind: str
    at: datetime
    is_day_only: bool
    how: str
    bag: str
    what: str
    amount: str
    container: str
    looks: str
    by_whom: str
    note: str
    strikes: int | None
    entered_at: datetime
    is_struck: bool = False
    picture_id: int | None = None
    beside_id: int | None = None
    picture: str = ""
    beside: str = ""
    grade: str = ""
    promised: str = ""


@dataclass(frozen=True, slots=True)
class HoldLook:
    """Somebody looked at everything at a hold; `hold` is its name, `at` the day's last minute if only that is known."""

    hold: str
    at: datetime
    by_whom: str
    is_day_only: bool = False


@dataclass(frozen=True, slots=True)
class BagGroup:
    """Fasteners of one sort in a bag; counts are None while nobody has counted."""

    group_id: int
    bag_id: int
    what: str
    thread: str = ""
    length_mm: str = ""
    across_flats_mm: str = ""
    head_mark: str = ""
    count_out: int | None = None
    count_back: int | None = None

    @property
    def text(self) -> str:
        """As it is said: "bolts, M10 x 35, 10.9"."""
        size = " x ".join(filter(None, (self.thread, self.length_mm.replace(";", " and "))))
        return ", ".join(filter(None, (self.what, size, self.head_mark)))


@dataclass(frozen=True, slots=True)
class Bag:
    """A numbered bag or bin of fasteners.

    Attributes
    ----------
    name : str
        What it is for, in the person's words.
    place : str
        Where the bag lies.
    count_out, count_back : int or None
        Pieces that went in, and pieces counted when it was opened again; of all groups together when there are some.
    groups : tuple of BagGroup
    tag_ids : tuple of int
        The things its fasteners belong to.
    """

    bag_id: int
    job_id: int
    label: str
    name: str
    contents: str
    place: str
    count_out: int | None
    count_back: int | None
    note: str
    groups: tuple[BagGroup, ...] = ()
    tag_ids: tuple[int, ...] = ()

    @property
    def inside(self) -> str:
        """Everything said of what is in it, in one line."""
        return ", ".join(filter(None, (self.contents, *(group.text for group in self.groups))))

    @property
    def is_to_count(self) -> bool:
        """Whether nobody counted back what is in it, or not as many came back as went in."""
        return self.count_back is None or self.count_back != self.count_out


@dataclass(frozen=True, slots=True)
class Snag:
    """What was broken, stuck, missing, to be bought or decided.

    Attributes
    ----------
    label : str
        The number it is called by.
    buy : str
        What to buy; bought_at is the moment it was, empty until then.
    closed_at : str
        Empty while it is open.
    """

    snag_id: int
    job_id: int
    label: str
    found_at: datetime
    is_day_only: bool
    tag_id: int | None
    picture_id: int | None
    bag_id: int | None
    place: str
    what: str
    buy: str
    bought_at: str
    closed_at: str
    closed_how: str

    @property
    def is_open(self) -> bool:
        """Whether something is still to be done about it."""
        return not self.closed_at


class GapKind(StrEnum):
    """What the record can lack, in the order in which they are shown."""

    TIGHT_TOO_SOON = "tight before its prerequisite"
    FIT_LOOP = "fit-after loop"
    WALK_ROUND = "walk round"
    NEVER_PHOTOGRAPHED = "never photographed"
    ONE_END = "one end only"
    ONLY_AFTER = "only after removal"
    ONLY_GUESSED = "only a guess"
    NUMBER_TWICE = "number used twice"
    NUMBER_MISSING = "number missing"
    NO_PLACE = "end without place"
    TAPE_LOST = "tape lost"
    NOT_CAPPED = "not capped"
    NO_FLOW = "no flow direction"
    COLOUR_DIFFERS = "colour differs"
    NOTHING_NOTED = "nothing noted"
    NO_BAG = "no bag"
    BAG_WITHOUT_TAG = "bag without tag"
    BAG_SHORT = "bag count short"
    TWO_GROUPS = "two groups in one bag"
    LOOK_ALIKE = "look-alike"
    LOOSE_FIND = "belongs to no tag"
    NO_PINS = "photo without pins"
    UPSIDE_DOWN = "reads upside down"
    NEAR_DUPLICATE = "near-duplicate"
    DAMAGED = "damaged picture"
    DOUBTFUL_TIME = "doubtful time"
    CLOCK_UNCHECKED = "clock not compared"
    DRAINED_UNSAID = "drained, not fully noted"
    NOT_FILLED = "drained and not filled"
    NOT_BACK = "sent out and not back"
    NOT_REPAIRED = "not repaired"
    NOT_BOUGHT = "not bought"


@dataclass(frozen=True, slots=True)
class Gap:
    """Something the record lacks.

    Attributes
    ----------
    why : str
        One sentence that names the thing and what can still be done.
    number, end, tag_id : str, {"A", "B"} and int, or None
        The tag and end it is about; None when it is about the whole tag, several tags, a bag or a picture.
    file : str
        Name of the picture it is about, where there is one.
    beside : tuple of str
        Numbers of the other things that it is about.
    thing : str
        What it is about where that has no number: a fluid, a cylinder head, an item of the walk round.
    mendable : bool
        Whether the gap can still be closed in full; False when the as-found state is gone for good.
    at_machine : bool
        Whether only the machine as it stands now can close it.
    """

    kind: GapKind
    why: str
    number: str | None = None
    end: EndLetter | None = None
    bag: str | None = None
    tag_id: int | None = None
    picture_id: int | None = None
    mendable: bool = True
    at_machine: bool = False
    file: str = ""
    beside: tuple[str, ...] = ()
    thing: str = ""

    @property
    def subject(self) -> str:
        """What a person names to speak of it: the number, the bag, the words for it, or the file of the picture."""
        return self.number or self.bag or self.thing or self.file

    @property
    def about(self) -> str:
        """What it is about, so that a person's answer finds it again: tag and end, number, bag, thing, or picture."""
        named = f"tag {self.tag_id}" if self.tag_id else f"bag {self.bag}" if self.bag else f"number {self.number}"
        named = f"thing {self.thing}" if self.thing else named
        named = f"picture {self.picture_id}" if self.picture_id and not self.tag_id else named
        return f"{named} {self.end or ''}".strip()
