"""Fluids that were drained, and what was filled in since: each is filled, left out on purpose, or still open."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from asfound.core.words import fold, plain_words
from asfound.model.log import BLED, FILLED, LEAKS, LEFT_OUT, LogLine

_LITRES = {"l": 1.0, "litre": 1.0, "liter": 1.0, "litres": 1.0, "liters": 1.0, "dl": 0.1, "cl": 0.01, "ml": 0.001}
_AMOUNT = re.compile(r"(?:about |ca\.? |~ ?)?(\d+(?:[.,]\d+)?) ?([a-z]+)")
_BLED_FLUIDS = frozenset(
    "coolant antifreeze fuel diesel petrol gasoline hydraulic brake clutch steering freshwater".split()
)
"""Words of fluids whose circuits are usually bled. Common practice, no source: the manual says which are."""


@dataclass
class Fluid:
    """One fluid since it was last drained.

    Attributes
    ----------
    name : str
        As it was called when it was drained, or filled where nothing says that it was.
    drained, filled : list of LogLine
        In the order in which they happened; what was filled before the last draining is left out.
    left_out, bled, leaks : LogLine or None
        The last line that says so since then.
    """

    name: str
    drained: list[LogLine] = field(default_factory=list)
    filled: list[LogLine] = field(default_factory=list)
    left_out: LogLine | None = None
    bled: LogLine | None = None
    leaks: LogLine | None = None

    @property
    def is_open(self) -> bool:
        """Whether it was drained, and nothing says that it was filled or is left out on purpose."""
        return bool(self.drained) and not self.filled and self.left_out is None

    @property
    def out_words(self) -> str:
        """What came out, where it is and how it looked: "7.5 l into C2, black"."""
        return "; ".join(_words(line) for line in self.drained)

    @property
    def in_words(self) -> str:
        """What was filled in: "8 l, 15W-40, from new can"."""
        return "; ".join(_words(line) for line in self.filled)


@dataclass(frozen=True, slots=True)
class FluidNote:
    """What is open about a fluid, which it is, in one sentence; `is_sure` False asks somebody to look."""

    why: str
    is_sure: bool = True
    fluid: str = ""


def find_fluids(lines: Iterable[LogLine]) -> list[Fluid]:
    """Every fluid that was drained or filled, the first one first. Names that differ in words are different fluids."""
    found: dict[str, Fluid] = {}
    for line in sorted(lines, key=lambda line: (line.at, line.event_id)):
        if line.is_struck or line.kind not in ("drained", FILLED, BLED, LEAKS, LEFT_OUT):
            continue
        if line.kind == LEAKS and not line.what:
            if line.tag_id is None:  # a look at one thing says nothing of the rest
                for one in found.values():
                    one.leaks = line
            continue
        key = fluid_key(line.what)
        fluid = found.setdefault(key, Fluid(line.what))
        if line.kind == "drained":
            if fluid.filled or fluid.left_out:
                fluid = found[key] = Fluid(line.what)
            fluid.drained.append(line)
        elif line.kind == FILLED:
            fluid.filled.append(line)
            # What was bled or looked at before this filling says nothing of it.
            fluid.left_out = fluid.bled = fluid.leaks = None
        else:
            setattr(fluid, {BLED: "bled", LEAKS: "leaks", LEFT_OUT: "left_out"}[line.kind], line)
    return [fluid for fluid in found.values() if fluid.drained or fluid.filled]


def fluid_key(name: str) -> str:
    """Names of one fluid that differ in capitals, plurals and marks are alike."""
    return " ".join(plain_words(name)) or fold(name.strip())


def find_fluid_notes(fluids: Iterable[Fluid]) -> list[FluidNote]:
    """What is open before the engine may be started: not filled, less or more than came out, bled, leaks looked at."""
    fluids = list(fluids)
    notes = [FluidNote(open_words(fluid), fluid=fluid.name) for fluid in fluids if fluid.is_open]
    for fluid in fluids:
        if fluid.filled:
            unsaid = filter(None, (_level_words(fluid), _unsaid_words(fluid)))
            notes += [FluidNote(why, is_sure=False, fluid=fluid.name) for why in unsaid]
    return notes


def open_words(fluid: Fluid) -> str:
    """A fluid that is out, with what came out of it and what to write down."""
    out = f" ({fluid.out_words})" if fluid.out_words else ""
    return (
        f"{fluid.name} was drained{out} and not filled: fill what the service manual names, then write it down: "
        f'asfound filled "{fluid.name}" AMOUNT. Left out on purpose: --left-out WHY.'
    )


def read_litres(amount: str) -> float | None:
    """Litres of "7.5 l", "7,5 litres" or "500 ml"; None where it is not said so (quarts and gallons have two sizes)."""
    found = _AMOUNT.fullmatch(fold(amount.strip()))
    unit = _LITRES.get(found[2]) if found else None
    return None if found is None or unit is None else float(found[1].replace(",", ".")) * unit


def _level_words(fluid: Fluid) -> str:
    out, into = _total(fluid.drained), _total(fluid.filled)
    look = "look at the level as the service manual says"
    if fluid.drained and any(not line.amount for line in fluid.filled):
        came_out = f" (came out: {fluid.out_words})" if fluid.out_words else ""
        return f"{fluid.name}: nobody wrote how much was filled{came_out}: {look}."
    if out is None or into is None or abs(out - into) < 0.005:
        return ""
    return f"{fluid.name}: came out: {fluid.out_words}; went in: {fluid.in_words}: {look}."


def _unsaid_words(fluid: Fluid) -> str:
    needs_bleeding = not _BLED_FLUIDS.isdisjoint(plain_words(fluid.name)) and fluid.bled is None
    unsaid = [*(["it was bled"] if needs_bleeding else []), *(["leaks were looked at"] if fluid.leaks is None else [])]
    if not unsaid:
        return ""
    went_in = f" ({fluid.in_words})" if fluid.in_words else ""
    return f"{fluid.name} is filled{went_in}, and nobody wrote down that {' or that '.join(unsaid)}: look."


def _total(lines: Iterable[LogLine]) -> float | None:
    """Litres of all together; None when any of them is not said in litres, or there is none."""
    amounts = [read_litres(line.amount) for line in lines]
    return None if not amounts or None in amounts else sum(amount for amount in amounts if amount is not None)


def _words(line: LogLine) -> str:
    container = f"{'from' if line.kind == FILLED else 'into'} {line.container}" if line.container else ""
    amount = " ".join(filter(None, (line.amount, container if line.kind != FILLED else "")))
    rest = (line.grade, container) if line.kind == FILLED else (line.looks,)
    return ", ".join(filter(None, (amount, *rest)))
