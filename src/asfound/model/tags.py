"""Tags, their ends, and the pins that put them on pictures."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

EndLetter = Literal["A", "B"]
Source = Literal["hand", "carried", "read"]

KINDS = (
    "wire",
    "harness plug",
    "hose",
    "vacuum line",
    "fuel line",
    "coolant hose",
    "cable",
    "linkage",
    "bracket",
    "mount",
    "belt",
    "fastener group",
    "ground strap",
    "other",
)
"""What a tag can hang on, in the order in which they are offered."""

ONE_ENDED_KINDS = frozenset({"bracket"})
"""Kinds that have one end by nature. Fastener groups have one or two; the person says which."""

LINE_KINDS = frozenset({"hose", "vacuum line", "fuel line", "coolant hose"})
"""Kinds that carry something, so that their direction of flow matters and open ends want capping."""

FLOWS = ("A to B", "B to A", "both ways")
"""Directions of flow or motion."""

Side = Literal["engine", "stays"]

SIDES: dict[Side, str] = {"engine": "engine side", "stays": "stays behind"}
"""On which side of the lift an end's place is, with the words for it: it leaves with the engine, or stays in the boat,
vehicle or whatever the engine comes out of."""

PLACES_WITHOUT_PICTURE = frozenset({"not found", "open end"})
"""Places a person can write that are answers, not gaps."""


@dataclass(frozen=True, slots=True)
class Tag:
    """A number for one thing, as written on the tape.

    Attributes
    ----------
    tag_id : int
        The hidden identity; numbers are text, may repeat and may skip.
    ends : int
        1 or 2.
    order : int
        1 for the first thing with this number, 2 for the second, and so on; kept when another of them goes.
    bag : str
        The bag that was said last, or "back in place"; more may be known of it in the bags.
    how_it_sat : str
        Of the whole thing; what is said of one end is kept with that end.
    goes_with : str
        Where the part stays or went: engine, hull, shop, store, on order.
    look_alike : str
        The same word on two tags says that they could be taken for each other.
    """

    tag_id: int
    job_id: int
    number: str
    order: int
    kind: str
    name: str
    ends: int
    note: str
    flow: str
    size: str
    bag: str
    created_at: datetime
    route: str = ""
    how_it_sat: str = ""
    hazard: str = ""
    condition: str = ""
    goes_with: str = ""
    look_alike: str = ""


@dataclass(frozen=True, slots=True)
class TagEnd:
    """One end of a tagged thing.

    Attributes
    ----------
    place : str
        Where it sits, in the person's words; "not found" and "open end" are answers too.
    how_it_sat : str
    capped : bool or None
        None when nobody has said.
    colour : str
        As the trade writes it, main colour first ("RD/BK"); as typed where it could not be read.
    tape_lost : bool
    terminal : str
        The mark as it stands there, never corrected.
    clock : str
        How it was turned, as a clock hour: "2 o'clock".
    capped_with : str
        What with, so that it is counted back out.
    main, stripe : str
        Codes of IEC 60757 for the main colour and the stripes ("BK", "BK/WH"); empty where it could not be read.
    colour_unsure : bool
        As seen in poor light.
    side : {"engine", "stays", ""}
        Whether its place leaves with the engine or stays behind; empty when nobody has said.
    """

    tag_id: int
    end: EndLetter
    place: str
    how_it_sat: str
    capped: bool | None
    colour: str
    tape_lost: bool
    terminal: str = ""
    note: str = ""
    clock: str = ""
    capped_with: str = ""
    main: str = ""
    stripe: str = ""
    colour_unsure: bool = False
    side: Side | Literal[""] = ""


@dataclass(frozen=True, slots=True)
class Belt:
    """How a belt ran.

    Attributes
    ----------
    comes_off : str
        Which one comes off first when there are several: "first", "2".
    path : str
        The pulleys in order, and over or under each.
    arrow : str
        Where its arrow or printing points, or from where the printing reads.
    turns : str
        Which way it runs, and seen from which end.
    slack : str
        Slack, tensioner mark.
    """

    tag_id: int
    comes_off: str = ""
    path: str = ""
    arrow: str = ""
    turns: str = ""
    slack: str = ""


@dataclass(frozen=True, slots=True)
class Pin:
    """A person's word: this tag end is at this point, or in this box, of this picture.

    Attributes
    ----------
    x_frac, y_frac : float
        The point, or the centre of the box, in fractions of the picture as displayed, origin top left.
    w_frac, h_frac : float or None
        The box, None for a point.
    source : {"hand", "carried", "read"}
        "carried" and "read" when a proposal was confirmed.
    """

    pin_id: int
    tag_id: int
    end: EndLetter
    picture_id: int
    x_frac: float
    y_frac: float
    w_frac: float | None
    h_frac: float | None
    source: Source


@dataclass(frozen=True, slots=True)
class PinProposal:
    """The machine's guess. It becomes a `Pin` only by `actions.pin.confirm_proposal`.

    Attributes
    ----------
    gone : bool or None
        True where its part seems to be off in this picture.
    hidden : bool or None
        True where something nearer seems to stand before the point, False where the picture shows it, None where
        neither can be told.
    """

    tag_id: int
    end: EndLetter
    picture_id: int
    x_frac: float
    y_frac: float
    w_frac: float | None
    h_frac: float | None
    source: Literal["carried", "read"]
    confidence: float
    how: str
    gone: bool | None
    hidden: bool | None = None
