"""Spots as they are listed: with the numbers pinned on their pictures, their pairs, and what they look like."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime

from asfound.actions import spots
from asfound.actions.archive import Archive, kept
from asfound.actions.known import known_pictures, known_spots, known_tags, pins_by_tag, spot_of
from asfound.core.pins.numbering import sort_key
from asfound.model.pictures import Pair, Spot
from asfound.store import spots as spot_store


@dataclass(frozen=True, slots=True)
class ListedSpot:
    """A spot with its counts.

    Attributes
    ----------
    numbers : tuple of str
        Tag numbers pinned on its pictures, in order.
    pairs : int
        How many pairs it has.
    first_at : datetime or None
        When the first of its pictures was taken of which that is known.
    """

    spot: Spot
    numbers: tuple[str, ...]
    pairs: int
    first_at: datetime | None


def list_spots_seen(archive: Archive) -> list[ListedSpot]:
    """Every spot, in order of its first picture."""
    return [_listed(archive, spot) for spot in known_spots(archive).values()]


def read_spot(archive: Archive, spot_id: int) -> ListedSpot:
    """One spot, also one without pictures. Raises NotFound."""
    return _listed(archive, known_spots(archive).get(spot_id) or spot_store.get_spot(archive.store, spot_id))


def pairs_of_spot(archive: Archive, spot_id: int) -> list[Pair]:
    """The pairs of a spot, best first, each with what the log says happened between the two."""
    return spots.as_logged(archive, _pairs(archive).get(spot_id, ()))


def likely_spots(archive: Archive, picture_ids: Sequence[int]) -> list[int]:
    """Spots whose pictures look like these, the likeliest first; the others are left out."""
    places, agreeing = spot_of(archive), defaultdict[int, int](int)
    for like in _likenesses(archive):
        for here, there in ((like.a_id, like.b_id), (like.b_id, like.a_id)):
            if here in picture_ids and there not in picture_ids and there in places:
                agreeing[places[there]] += like.agreeing
    return sorted(agreeing, key=lambda spot_id: -agreeing[spot_id])


def _listed(archive: Archive, spot: Spot) -> ListedSpot:
    members = [known_pictures(archive)[i] for i in spot.picture_ids]
    on_picture = _numbers_on_picture(archive)
    numbers = {number for i in spot.picture_ids for number in on_picture.get(i, ())}
    times = (picture.taken_at for picture in members if picture.taken_at is not None)
    pairs = len(_pairs(archive).get(spot.spot_id, ()))
    return ListedSpot(spot, tuple(sorted(numbers, key=sort_key)), pairs, next(times, None))


@kept
def _pairs(archive: Archive) -> Mapping[int, Sequence[Pair]]:
    found: dict[int, list[Pair]] = defaultdict(list)
    for pair in spot_store.list_pairs(archive.store, archive.job.job_id):
        found[pair.spot_id].append(pair)
    return dict(found)


@kept
def _likenesses(archive: Archive) -> Sequence[spot_store.StoredLikeness]:
    return spot_store.load_likenesses(archive.store, archive.job.job_id)


@kept
def _numbers_on_picture(archive: Archive) -> Mapping[int, Set[str]]:
    numbers: dict[int, set[str]] = defaultdict(set)
    for tag_id, mine in pins_by_tag(archive).items():
        for pin in mine:
            numbers[pin.picture_id].add(known_tags(archive)[tag_id].number)
    return dict(numbers)
