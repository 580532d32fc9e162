"""What waits in the sort queue for a person's word."""

from __future__ import annotations

from dataclasses import dataclass

from asfound.model.pictures import Pair, Picture, Spot
from asfound.tui.pins import ProposalEntry


@dataclass(frozen=True, slots=True)
class SpotProposal:
    """Pictures that the machine took for a spot of their own, or for more of a spot already known.

    Attributes
    ----------
    picture_ids : tuple of int
        The new ones, in order of time.
    suggested_name : str
        Empty when there is nothing to suggest.
    why : str
        What the proposal rests on, in words.
    """

    spot: Spot
    picture_ids: tuple[int, ...]
    suggested_name: str
    why: str


@dataclass(frozen=True, slots=True)
class PairProposal:
    """Two pictures that the machine took for before and after."""

    pair: Pair
    spot_name: str
    why: str


@dataclass(frozen=True, slots=True)
class PinQuestion:
    """A carried or read pin that waits for a word.

    Attributes
    ----------
    spot_id : int or None
        None for a picture in no spot.
    in_passing : bool
        A number was read of which an end is pinned elsewhere already: it may be that end, seen from here.
    """

    entry: ProposalEntry
    picture: Picture
    why: str
    spot_id: int | None = None
    in_passing: bool = False


@dataclass(frozen=True, slots=True)
class TimeQuestion:
    """A picture whose time may be wrong."""

    picture: Picture
    why: str


@dataclass(frozen=True, slots=True)
class BurstProposal:
    """Pictures that one camera took of one thing within seconds; the sharpest first, the others in order of time."""

    picture_ids: tuple[int, ...]


SortItem = SpotProposal | BurstProposal | PairProposal | PinQuestion | TimeQuestion
