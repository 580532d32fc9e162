"""What a person says about spots and pairs. It is kept, and no later sort undoes it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from asfound.actions.archive import Archive
from asfound.actions.resolve import is_id
from asfound.actions.sort import settle
from asfound.errors import Misused, NotFound
from asfound.model.log import LogLine
from asfound.model.pictures import Pair, PairKind, Picture, Spot
from asfound.store import pins, spots
from asfound.store.events import list_lines
from asfound.store.pictures import get_picture, list_pictures

NO_SPOT = "none"
"""What a person says in place of a spot when a picture belongs to none."""


def list_spots(archive: Archive) -> list[Spot]:
    """All spots in the order of their first picture."""
    return spots.list_spots(archive.store, archive.job.job_id)


def get_spot(archive: Archive, words: str) -> Spot:
    """The spot with this id or name.

    Raises
    ------
    NotFound
        If no spot answers to the words. No two spots have one name.
    """
    if is_id(words):
        return spots.get_spot(archive.store, int(words))
    wanted = words.strip().casefold()
    named = next((spot for spot in list_spots(archive) if wanted and spot.name.casefold() == wanted), None)
    if named is None:
        raise NotFound(f'"{words}": no spot has that name. List them with: asfound spots')
    return named


def name_spot(archive: Archive, spot: Spot, name: str) -> None:
    """Give a spot a name; an empty one takes the name away.

    Raises
    ------
    Misused
        If the name would be taken for something else: a spot's number, no spot, or another spot of that name.
    """
    name = name.strip()
    if is_id(name) or name.casefold() == NO_SPOT:
        raise Misused(f'"{name}" as a name would be read as {_taken_for(name)}; say what the place is, in words.')
    other = next((one for one in list_spots(archive) if name and one.name.casefold() == name.casefold()), None)
    if other is not None and other.spot_id != spot.spot_id:
        raise Misused(
            f'Spot {other.spot_id} is called "{name}" already; add what tells them apart, or join them with: '
            f"asfound spot join {other.spot_id} {spot.spot_id}"
        )
    with archive.step(f'spot {spot.spot_id} named "{name}"'):
        spots.name_spot(archive.store, spot.spot_id, name)


def accept_spot(archive: Archive, spot: Spot) -> None:
    """Accept a spot as it is."""
    with archive.step(f"spot {spot.spot_id} accepted"):
        _place(archive, spot.picture_ids, spot.spot_id)


def name_and_accept(archive: Archive, spot: Spot, name: str) -> None:
    """Give a spot a name, which says that it is right as it stands; one step."""
    with archive.step(f'spot {spot.spot_id} named "{name}"'):
        name_spot(archive, spot, name)
        accept_spot(archive, spot)


def move_pictures(archive: Archive, picture_ids: Sequence[int], spot: Spot | None) -> None:
    """Put pictures into a spot, or into none."""
    where = "no spot" if spot is None else f"spot {spot.spot_id}"
    with archive.step(f"{_count(archive, picture_ids)} moved to {where}"):
        _place(archive, picture_ids, None if spot is None else spot.spot_id)


def join_spots(archive: Archive, keep: Spot, other: Spot) -> None:
    """Make one spot of two; the first keeps its id, and its name if it has one."""
    if keep.spot_id == other.spot_id:
        raise Misused(f"Spot {keep.spot_id} cannot be joined with itself; name two spots.")
    with archive.step(f"spot {other.spot_id} joined to spot {keep.spot_id}"):
        _place(archive, (*keep.picture_ids, *other.picture_ids), keep.spot_id)
        if other.name and not keep.name:
            spots.name_spot(archive.store, keep.spot_id, other.name)
        spots.name_spot(archive.store, other.spot_id, "")


def split_spot(archive: Archive, spot: Spot, picture_ids: Sequence[int]) -> Spot:
    """Take pictures out of a spot into a new one, and return that."""
    foreign = [picture_id for picture_id in picture_ids if picture_id not in spot.picture_ids]
    if foreign:
        shown = get_picture(archive.store, foreign[0])
        raise Misused(f"{shown.file} (picture {shown.picture_id}) is not in spot {spot.spot_id}; nothing was split.")
    rest = [picture_id for picture_id in spot.picture_ids if picture_id not in picture_ids]
    if not rest:
        raise Misused(f"Spot {spot.spot_id} would be left empty; leave at least one picture in it.")
    with archive.step(f"{_count(archive, picture_ids)} split from spot {spot.spot_id}"):
        made = spots.new_spot(archive.store, archive.job.job_id)
        _place(archive, picture_ids, made)
        # What stays is said as well, or a later sort could bring the two together again.
        _place(archive, rest, spot.spot_id)
    return spots.get_spot(archive.store, made)


def begin_spot(archive: Archive, picture_ids: Sequence[int]) -> Spot:
    """Make a new spot of pictures that are in none."""
    with archive.step("a new spot made"):
        made = spots.new_spot(archive.store, archive.job.job_id)
        _place(archive, picture_ids, made)
    return spots.get_spot(archive.store, made)


def list_pairs(archive: Archive, spot: Spot | None = None) -> list[Pair]:
    """Pairs by spot, best first."""
    settle(archive)
    pairs = spots.list_pairs(archive.store, archive.job.job_id)
    return as_logged(archive, [pair for pair in pairs if spot is None or pair.spot_id == spot.spot_id])


def as_logged(archive: Archive, pairs: Iterable[Pair]) -> list[Pair]:
    """Pairs with what the log says happened between the two; where it says nothing, what was guessed stands."""
    kinds = _LoggedKinds(archive)
    return [replace(pair, kind=kinds.of(pair.spot_id, pair.before_id, pair.after_id) or pair.kind) for pair in pairs]


def confirm_pair(archive: Archive, before_id: int, after_id: int) -> None:
    """Say that two pictures that the machine took for before and after are that."""
    kind = _known_kind(archive, before_id, after_id) or "changed"
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    with archive.step(f"{_both(archive, before_id, after_id)} are a pair"):
        if before_id in spot_of and spot_of[before_id] == spot_of.get(after_id):
            # That they show one place is said with it, or a later sort could part them, and the pair would be gone.
            _place(archive, (before_id, after_id), spot_of[before_id])
        spots.say_pair(archive.store, before_id, after_id, "pair", kind)


def make_pair(archive: Archive, before: Picture, after: Picture) -> Pair:
    """Say that two pictures of one spot are before and after, whether or not the machine thought so.

    A picture of no spot comes into the other's.

    Raises
    ------
    Misused
        If it is one picture twice, or they are of two spots, or of none.
    """
    if before.picture_id == after.picture_id:
        raise Misused(f"{before.file} cannot be a pair with itself; name two pictures.")
    spot_of = spots.load_membership(archive.store, archive.job.job_id)
    here, there = spot_of.get(before.picture_id), spot_of.get(after.picture_id)
    spot_id = here or there
    if spot_id is None:
        raise Misused(f"Neither {before.file} nor {after.file} is in a spot; put them into one with: asfound spot move")
    if here and there and here != there:
        raise Misused(
            f"{before.file} is in spot {here}, {after.file} in spot {there}; if they show one place, first join them: "
            f"asfound spot join {here} {there}"
        )
    known = _known_kind(archive, before.picture_id, after.picture_id)
    kind = known or _LoggedKinds(archive).of(spot_id, before.picture_id, after.picture_id) or "changed"
    with archive.step(f"{before.file} and {after.file} are a pair"):
        _place(archive, (before.picture_id, after.picture_id), spot_id)
        # Of two words on one pair the later holds, and with it which of the two was before.
        spots.say_pair(archive.store, after.picture_id, before.picture_id, "not a pair")
        spots.say_pair(archive.store, before.picture_id, after.picture_id, "pair", kind)
    return Pair(spot_id, before.picture_id, after.picture_id, kind, 1.0)


def _known_kind(archive: Archive, before_id: int, after_id: int) -> PairKind | None:
    """What happened between two pictures that are listed as a pair; None for others."""
    known = spots.list_pairs(archive.store, archive.job.job_id)
    return next((p.kind for p in known if (p.before_id, p.after_id) == (before_id, after_id)), None)


class _LoggedKinds:
    """What the log says happened at a spot between two of its pictures."""

    def __init__(self, archive: Archive) -> None:
        job_id = archive.job.job_id
        self.taken_s = {one.picture_id: one.taken_utc_s for one in list_pictures(archive.store, job_id)}
        self.spot_of = spots.load_membership(archive.store, job_id)
        self.pins = pins.list_pins(archive.store, job_id)
        self.lines = [line for line in list_lines(archive.store, job_id) if not line.is_struck]

    def of(self, spot_id: int, before_id: int, after_id: int) -> PairKind | None:
        """By the last word on each thing pinned in the spot; None where nothing is written down."""
        before_s, after_s = self.taken_s.get(before_id), self.taken_s.get(after_id)
        if before_s is None or after_s is None:
            return None
        here = {pin.tag_id for pin in self.pins if self.spot_of.get(pin.picture_id) == spot_id}
        last = {
            line.tag_id: line.kind
            for line in self.lines
            if line.kind in ("off", "refitted") and line.tag_id in here and _is_between(line, before_s, after_s)
        }
        if not last:
            return None
        kinds = set(last.values())
        return "changed" if len(kinds) > 1 else "removed" if "off" in kinds else "refitted"


def _is_between(line: LogLine, before_s: float, after_s: float) -> bool:
    """Whether it happened between two moments, as far as is known.

    Of a day of which no more is known, pictures show how it was before it came off, and after it went back.
    """
    is_morning = line.is_day_only and line.kind == "refitted"
    first = line.at.replace(hour=0, minute=0, second=0) if is_morning else line.at
    return before_s < line.at.timestamp() and first.timestamp() <= after_s


def refuse_pair(archive: Archive, before_id: int, after_id: int) -> None:
    """Say that two pictures are not a pair; it will not be proposed again."""
    with archive.step(f"{_both(archive, before_id, after_id)} are not a pair"):
        spots.say_pair(archive.store, before_id, after_id, "not a pair")


def _place(archive: Archive, picture_ids: Sequence[int], spot_id: int | None) -> None:
    for picture_id in picture_ids:
        spots.place_picture(archive.store, picture_id, spot_id)


def _taken_for(name: str) -> str:
    return "no spot at all" if name.casefold() == NO_SPOT else "the number of a spot"


def _count(archive: Archive, picture_ids: Sequence[int]) -> str:
    if len(picture_ids) == 1:
        return get_picture(archive.store, picture_ids[0]).file
    return f"{len(picture_ids)} pictures"


def _both(archive: Archive, one_id: int, other_id: int) -> str:
    return " and ".join(get_picture(archive.store, picture_id).file for picture_id in (one_id, other_id))
