"""Cautions by phase of the work: shown on the phase's first screen and in the book, once a day, not on every tap.

The tool never says that something is safe, and every caution defers to the manual, the law and licensed practice.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date

from asfound.core.codes.caution_table import CAUTIONS, DEFER, Caution
from asfound.core.codes.hazards import read_hazards

_PHASES = {"lift out": "lift", "lift in": "lift"}
"""Other words for a phase."""
HAZARDS_OF_KINDS = {"fuel line": ("fuel",), "coolant hose": ("coolant",), "mount": ("lifting",)}
"""Hazards that a kind has by nature; a person adds others. Common practice, no source."""


def cautions_of(phase: str) -> tuple[Caution, ...]:
    """Cautions of a phase ("lift out" and "lift in" are both "lift"), empty when it has none."""
    plain = " ".join(phase.casefold().split())
    return tuple(caution for caution in CAUTIONS if caution.phase == _PHASES.get(plain, plain))


def in_one_line(cautions: Iterable[Caution]) -> str:
    """Several cautions in one line, with what they all defer to said once; empty when there are none."""
    told = ". ".join(f"{caution.signal}: {caution.sentence}" for caution in cautions)
    return f"{told}. {DEFER[:1].upper()}{DEFER[1:]}" if told else ""


def due_today(phase: str, shown_dates: Mapping[str, date], today: date) -> tuple[Caution, ...]:
    """Cautions of a phase that were not shown yet today.

    Parameters
    ----------
    shown_dates : mapping of str to date
        By the caution's key, the day it was last shown.
    """
    return tuple(caution for caution in cautions_of(phase) if shown_dates.get(caution.key) != today)


def cautions_for(hazards: Iterable[str], kind: str = "") -> tuple[Caution, ...]:
    """Cautions that a tag's hazards call for, in the order of the work;
    `read_hazards` asks about words that are not known.

    Parameters
    ----------
    hazards : iterable of str
        In a person's own words; one text may name several: "petrol; hot", "orange cables".
    kind : str
        The tag's kind, which has hazards by nature.
    """
    named = {*HAZARDS_OF_KINDS.get(kind, ())}.union(*(read_hazards(text).hazards for text in hazards))
    return tuple(caution for caution in CAUTIONS if not named.isdisjoint(caution.hazards))
