"""Which places are on the engine and which stay in the machine: the person's word, else a guess from the words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from asfound.core.words import fold, plain_words, search_words

Side = Literal["engine", "machine"]

_MACHINE = frozenset(
    "bulkhead tank panel wheelhouse locker floor bilge chassis frame radiator dashboard battery isolator bearer hull "
    "cab seat pedal bonnet wing tunnel silencer seacock strainer body loom shaft".split()
)
_ENGINE = frozenset(
    "engine cylinder head block alternator dynamo starter injection injector manifold turbo thermostat crank rocker "
    "gear gearbox distributor carburettor flywheel sump exchanger elbow".split()
)
"""Words for places as people write them; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Sides:
    """Where the ends of a thing are.

    Attributes
    ----------
    known : frozenset of {"engine", "machine"}
        Empty when nothing can be told.
    are_said : bool
        Whether the person said it of every end.
    """

    known: frozenset[Side]
    are_said: bool


def find_sides(places: Iterable[str], said: Mapping[str, Side]) -> Sides:
    """Sides of a thing by its places; a place counts as said in any case and spacing."""
    folded = {_plain(place): side for place, side in said.items()}
    places = list(places)
    words = [folded.get(_plain(place)) for place in places]
    sides = [word or guess_side(place) for word, place in zip(words, places, strict=True)]
    return Sides(frozenset(side for side in sides if side), bool(words) and all(words))


def guess_side(place: str) -> Side | None:
    """Guess from the words of a place; None when they tell nothing. "Engine-room bulkhead" is in the machine."""
    words = set(search_words(place))
    if not words.isdisjoint(_MACHINE) or {"engine", "room"} <= words or {"engine", "bay"} <= words:
        return "machine"
    return "engine" if not words.isdisjoint(_ENGINE) else None


def _plain(place: str) -> tuple[str, ...]:
    return plain_words(place) or (fold(place.strip()),)
