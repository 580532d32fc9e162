"""What one typed line says of a tag, field by field, and what the job knows already to split the line by."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from asfound.core.codes.colour_readings import ColourReading, parse_colour
from asfound.model.tags import KINDS, Side


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
