"""What came off and went back, and what the record lacks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Literal

from asfound.model.tags import EndLetter

HOW_REFITTED = ("by hand", "tight", "marked", "checked")
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
    """

    event_id: int
    tag_id: int
    kind: Literal["off", "refitted"]
    at: datetime
    how: str
    bag: str
    note: str
    entered_at: datetime


class GapKind(StrEnum):
    """What the record can lack, in the order in which they are shown."""

    TIGHT_TOO_SOON = "tight before its prerequisite"
    FIT_LOOP = "fit-after loop"
    NEVER_PHOTOGRAPHED = "never photographed"
    ONE_END = "one end only"
    ONLY_AFTER = "only after removal"
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
    UPSIDE_DOWN = "reads upside down"
    DOUBTFUL_TIME = "doubtful time"


@dataclass(frozen=True, slots=True)
class Gap:
    """Something the record lacks.

    Attributes
    ----------
    why : str
        One sentence that names the thing and what can still be done.
    number, end, tag_id : str, {"A", "B"} and int, or None
        The tag and end it is about; None when it is about the whole tag, several tags, a bag or a picture.
    mendable : bool
        Whether the gap can still be closed in full; False when the as-found state is gone for good.
    """

    kind: GapKind
    why: str
    number: str | None = None
    end: EndLetter | None = None
    bag: str | None = None
    tag_id: int | None = None
    picture_id: int | None = None
    mendable: bool = True
