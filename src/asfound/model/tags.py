"""Tags, their ends, and the pins that put them on pictures."""

from __future__ import annotations

from dataclasses import KW_ONLY, dataclass, field
from datetime import datetime
from typing import Literal

from asfound.model.field_rows import FieldRow, row

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

NO_CAP = "n/a"
"""Kept as what an end is capped with where a person said that it wants no cap."""

PLACES_WITHOUT_PICTURE = frozenset({"not found", "open end"})
"""Places a person can write that are answers, not gaps."""


@dataclass(frozen=True, slots=True)
class Tag:
    """A number for one thing, as written on the tape, and what is said of the whole thing: a `FieldRow` for each field.

    To add a field: an attribute with its row here, and a column of the same name in `store/migrations.py`.

    Attributes
    ----------
    tag_id : int
        The hidden identity; numbers are text, may repeat and may skip.
    order : int
        1 for the first thing with this number, 2 for the second, and so on; kept when another of them goes.
    bag : str
        The bag that was said last, or "back in place"; more may be known of it in the bags.
    ends : int
        1 or 2.
    """

    tag_id: int
    job_id: int
    _: KW_ONLY
    number: str
    order: int
    created_at: datetime
    kind: str = field(
        default="other",
        metadata=row(
            FieldRow(
                "Kind", "what it is; the beginning is enough", words="kind", choices=KINDS, search="kind", is_early=True
            )
        ),
    )
    name: str = field(
        default="", metadata=row(FieldRow("Name", "what it is, in your own words", search="name", is_early=True))
    )
    size: str = field(
        default="",
        metadata=row(FieldRow("Size", "bore, section, ways, belt size or thread", search="size", is_early=True)),
    )
    flow: str = field(
        default="",
        metadata=row(
            FieldRow(
                "Flow", "direction of flow or motion", words="direction", choices=FLOWS, search="sat", is_early=True
            )
        ),
    )
    route: str = field(
        default="",
        metadata=row(
            FieldRow(
                "Route",
                "over, under, behind, through which clip; tags it crosses",
                search="sat",
                is_early=True,
                is_wide=True,
            )
        ),
    )
    bag: str = field(
        default="",
        metadata=row(
            FieldRow("Bag", 'labels, with a comma between; or "back in place"', words="bag", option=None, label=None)
        ),
    )
    hazard: str = field(
        default="",
        metadata=row(FieldRow("Hazard", "fuel, pressure, hot, battery, spring, lifting, ...", search="note")),
    )
    condition: str = field(
        default="",
        metadata=row(FieldRow("Condition", "reuse, clean, replace, as pattern only, unknown", search="note")),
    )
    goes_with: str = field(
        default="",
        metadata=row(
            FieldRow("Belongs with", "where the part is: engine, shelf, shop, on order, thrown away", search="note")
        ),
    )
    look_alike: str = field(
        default="",
        metadata=row(
            FieldRow(
                "Looks like",
                "the same word on two tags: they could be taken for each other",
                option="like",
                column="lookalike",
            )
        ),
    )
    ends: int = field(
        default=2,
        metadata=row(
            FieldRow(
                "Ends", "1 or 2; a bracket has one unless said otherwise", words="count", choices=("1", "2"), label=None
            )
        ),
    )
    how_it_sat: str = field(
        default="",
        metadata=row(
            FieldRow(
                "How it sat",
                "how the whole thing sat",
                option="sat",
                label="how it sat",
                search="sat",
                is_early=True,
                is_wide=True,
            )
        ),
    )
    note: str = field(default="", metadata=row(FieldRow("Note", "anything else", search="note", is_wide=True)))


@dataclass(frozen=True, slots=True)
class TagEnd:
    """One end of a tagged thing, and what is said of it: a `FieldRow` for each field.

    Attributes
    ----------
    place : str
        In the person's words; "not found" and "open end" are answers too.
    colour : str
        As the trade writes it, main colour first ("RD/BK"); as typed where it could not be read.
    main, stripe : str
        Codes of IEC 60757 for the main colour and the stripes ("BK", "BK/WH"); empty where it could not be read.
    colour_unsure : bool
        As seen in poor light.
    clock : str
        How it was turned, as a clock hour: "2 o'clock".
    terminal : str
        The mark as it stands there, never corrected.
    capped : bool or None
        None when nobody has said.
    side : {"engine", "stays", ""}
        Whether its place leaves with the engine or stays behind; empty when nobody has said.
    """

    tag_id: int
    end: EndLetter
    _: KW_ONLY
    main: str = ""
    stripe: str = ""
    colour_unsure: bool = False
    place: str = field(
        default="",
        metadata=row(
            FieldRow(
                "Place",
                'where it sits; "not found" and "open end" are answers',
                column="end_{}_place",
                card="end {}",
                search="place",
            )
        ),
    )
    colour: str = field(
        default="",
        metadata=row(
            FieldRow(
                "Colour",
                "main colour first: RD/BK; ? after it when seen in poor light",
                words="colour",
                column="{}_base",
                search="colour",
            )
        ),
    )
    how_it_sat: str = field(
        default="",
        metadata=row(
            FieldRow(
                "Sat",
                "latch, arrow, clamp screw, order on the stud, threads showing",
                option="sat",
                column="end_{}_note",
                search="sat",
                is_wide=True,
            )
        ),
    )
    clock: str = field(
        default="",
        metadata=row(
            FieldRow("Turned", "how it was turned, as a clock hour: 2, or 2:30", words="hour", label=None, search="sat")
        ),
    )
    terminal: str = field(
        default="",
        metadata=row(
            FieldRow(
                "Terminal",
                "the mark as it stands there; it is never corrected",
                column="{}_terminal",
                search="terminal",
            )
        ),
    )
    capped: bool | None = field(
        default=None,
        metadata=row(
            FieldRow(
                "Capped", 'what with, "yes", or "no" for an open end', words="cap", option=None, column="capped_{}"
            )
        ),
    )
    capped_with: str = field(
        default="",
        metadata=row(FieldRow(hint="capped, and what with, so that it is counted back out", label=None, search="note")),
    )
    side: Side | Literal[""] = field(
        default="",
        metadata=row(
            FieldRow(
                "Side",
                "leaves with the engine, or stays behind",
                words="side",
                choices=tuple(SIDES.values()),
                card="side of {}",
                search="about",
            )
        ),
    )
    tape_lost: bool = field(
        default=False,
        metadata=row(FieldRow("Tape", "lost, or on", words="tape", choices=("lost", "on"), option=None)),
    )
    note: str = field(
        default="", metadata=row(FieldRow("Note", "anything else about this end", search="note", is_wide=True))
    )


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
