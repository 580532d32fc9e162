"""What one typed line says of a tag, field by field, and what the job knows already to split the line by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

from asfound.core.codes.colour_readings import ColourReading, parse_colour
from asfound.model.tags import KINDS, SIDES, EndLetter, Side


@dataclass(frozen=True, slots=True)
class EndEntry:
    """What the line says of one end; empty, None or False where it says nothing."""

    place: str = ""
    how_it_sat: str = ""
    colour: str = ""
    terminal: str = ""
    capped: bool | None = None
    tape_lost: bool = False
    side: Side | Literal[""] = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """What was read of a line. Texts are as typed; places and kinds in the spelling that is known."""

    number: str = ""
    kind: str = ""
    name: str = ""
    size: str = ""
    flow: str = ""
    bag: str = ""
    a: EndEntry = field(default_factory=EndEntry)
    b: EndEntry = field(default_factory=EndEntry)
    note: str = ""

    @property
    def questions(self) -> tuple[ColourReading, ...]:
        """Colours that must be asked back, each once."""
        readings = (parse_colour(colour) for colour in dict.fromkeys((self.a.colour, self.b.colour)))
        return tuple(reading for reading in readings if reading.choices)

    @property
    def fields(self) -> tuple[tuple[str, str], ...]:
        """What to show back, as (field, value), in the order of the line; empty fields are left out."""
        head = [(name, getattr(self, name)) for name in ("number", "kind", "name", "size", "flow", "bag")]
        ends = [*_end_fields("A", self.a), *_end_fields("B", self.b)]
        return tuple((name, value) for name, value in (*head, *ends, ("note", self.note)) if value)


@dataclass(frozen=True, slots=True)
class Known:
    """What the job knows already, to split the line by.

    Attributes
    ----------
    kinds : tuple of str
    places : tuple of str
        Without an end's letter in the line only places of two words or more are looked for.
    numbers : frozenset of str
        Numbers in use, so that one without a digit is known as one.
    """

    kinds: tuple[str, ...] = KINDS
    places: tuple[str, ...] = ()
    numbers: frozenset[str] = frozenset()


def _end_fields(letter: EndLetter, end: EndEntry) -> Iterator[tuple[str, str]]:
    yield f"end {letter}", end.place
    yield f"how it sat at {letter}", end.how_it_sat
    colour = parse_colour(end.colour).colour
    yield f"colour at {letter}", f"{end.colour} ({colour.words})" if colour else end.colour
    yield f"terminal at {letter}", end.terminal
    yield f"capped at {letter}", {True: "yes", False: "no", None: ""}[end.capped]
    yield f"tape at {letter}", "lost" if end.tape_lost else ""
    yield f"side of {letter}", SIDES[end.side] if end.side else ""
