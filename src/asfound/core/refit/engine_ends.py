"""Which ends leave with the engine and which stay behind: the person's word, else a guess from the words of a place."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from asfound.core.words import fold, plain_words, search_words
from asfound.model.tags import PLACES_WITHOUT_PICTURE, Side, TagEnd

_STAYS = frozenset(
    "bulkhead tank panel wheelhouse locker floor bilge chassis frame radiator dashboard battery isolator bearer hull "
    "cab seat pedal bonnet wing tunnel silencer seacock strainer body loom shaft".split()
)
_ENGINE = frozenset(
    "engine cylinder head block alternator dynamo starter injection injector manifold turbo thermostat crank rocker "
    "gear gearbox distributor carburettor flywheel sump exchanger elbow".split()
)
"""Words for places as people write them; common practice, no source."""

Place = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sides:
    """Where the ends of a thing are.

    Attributes
    ----------
    known : frozenset of {"engine", "stays"}
        Empty when nothing can be told.
    are_said : bool
        Whether the person said it of every end.
    """

    known: frozenset[Side]
    are_said: bool


def find_sides(ends: Sequence[TagEnd], places: Mapping[Place, Side]) -> Sides:
    """Sides of a thing: what was said of the end itself, else of its place, else what its words make likely.

    Parameters
    ----------
    places : mapping
        As `said_places` makes it of the whole job.
    """
    said = [end.side or places.get(_plain(end.place)) for end in ends]
    sides = [word or guess_side(end.place) for word, end in zip(said, ends, strict=True)]
    return Sides(frozenset(side for side in sides if side), bool(said) and all(said))


def said_places(ends: Iterable[TagEnd]) -> dict[Place, Side]:
    """Places of which it was said at some end on which side they are, in any case and spacing.

    A place of which both was said is left out, and so are answers that are no places ("not found").
    """
    said: dict[Place, set[Side]] = defaultdict(set)
    for end in ends:
        if end.side and end.place.strip() and end.place.strip().casefold() not in PLACES_WITHOUT_PICTURE:
            said[_plain(end.place)].add(end.side)
    return {place: sides.pop() for place, sides in said.items() if len(sides) == 1}


def guess_side(place: str) -> Side | None:
    """Guess from the words of a place; None when they tell nothing. "Engine-room bulkhead" stays behind."""
    words = set(search_words(place))
    if not words.isdisjoint(_STAYS) or {"engine", "room"} <= words or {"engine", "bay"} <= words:
        return "stays"
    return "engine" if not words.isdisjoint(_ENGINE) else None


def _plain(place: str) -> Place:
    return plain_words(place) or (fold(place.strip()),)
