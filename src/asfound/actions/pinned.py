"""The pins of a picture and what is proposed there, and a person's word on one or many of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from asfound.actions import bursts, pin, resolve, spots, tag
from asfound.actions.archive import Archive
from asfound.actions.known import known_pictures, known_tags
from asfound.actions.pin import Box
from asfound.core.pins.numbering import sort_key
from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag
from asfound.store import pins
from asfound.store.pictures import get_picture

WHOLE = Box(0.5, 0.5, 1.0, 1.0)
"""All of a picture: the thing is in it, somewhere."""


@dataclass(frozen=True, slots=True)
class PinEntry:
    """A pin with what it is a pin of.

    Attributes
    ----------
    guess : float or None
        Of a proposal that is shown like a pin, how sure it is; None for a pin.
    """

    pin: Pin
    number: str
    tag_name: str
    guess: float | None = None


@dataclass(frozen=True, slots=True)
class ProposalEntry:
    """A proposed pin with what it would be a pin of.

    Attributes
    ----------
    other : PinProposal or None
        The same number taken for the thing's other end, where only the person can say which of the two it is.
    """

    proposal: PinProposal
    number: str
    tag_name: str
    other: PinProposal | None = None

    @property
    def both(self) -> tuple[PinProposal, ...]:
        """The proposal, and the one for the other end where the end is not told."""
        return (self.proposal,) if self.other is None else (self.proposal, self.other)

    @property
    def confidence(self) -> float:
        """How sure the number is, whichever end it is of; 0 to 1."""
        return sum(one.confidence for one in self.both)

    @property
    def label(self) -> str:
        """``31A``; ``31`` where the end is not told."""
        return self.number if self.other is not None else f"{self.number}{self.proposal.end}"

    @property
    def called(self) -> str:
        """``31 A``; ``31`` where the end is not told."""
        return self.number if self.other is not None else f"{self.number} {self.proposal.end}"

    def of_end(self, end: EndLetter) -> PinProposal | None:
        """The proposal for an end; None when it is not one of those that it may be."""
        return next((one for one in self.both if one.end == end), None)


# What is there


def pins_on(archive: Archive, picture_id: int) -> list[PinEntry]:
    """The pins on a picture, in order of number and end."""
    found = [pin_entry(archive, one) for one in pins.pins_on_picture(archive.store, picture_id)]
    return sorted(found, key=lambda entry: (sort_key(entry.number), entry.pin.end))


def proposals_on(archive: Archive, picture_id: int) -> list[ProposalEntry]:
    """The proposed pins on a picture that nobody has answered, in order of number and end."""
    found = as_asked(pins.proposals_on_picture(archive.store, picture_id), known_tags(archive))
    return sorted(found, key=lambda entry: (sort_key(entry.number), entry.label))


def pictures_to_answer(archive: Archive, *, after: int) -> list[int]:
    """Other pictures with proposed pins: those taken after this one, then those before it.

    Those behind another picture are not asked about.
    """
    found = pins.list_proposals(archive.store, archive.job.job_id)
    asked = {one.picture_id for one in found} - bursts.behind(archive).keys() - {after}
    order = list(known_pictures(archive))
    here = order.index(after) if after in order else 0
    return [picture_id for picture_id in (*order[here:], *order[:here]) if picture_id in asked]


def pin_entry(archive: Archive, one: Pin) -> PinEntry:
    """A pin with what it is a pin of."""
    mine = known_tags(archive)[one.tag_id]
    return PinEntry(one, mine.number, mine.name)


def as_asked(found: Iterable[PinProposal], tags: Mapping[int, Tag]) -> list[ProposalEntry]:
    """Proposals, surest first, as they are asked: each end of a thing once on a picture, an end not told in one."""
    asked: dict[tuple[int, int], dict[EndLetter, PinProposal]] = defaultdict(dict)
    for one in found:
        asked[one.tag_id, one.picture_id].setdefault(one.end, one)
    entries = []
    for (tag_id, _), ends in asked.items():
        mine, some = tags[tag_id], list(ends.values())
        if len(some) == 2 and _is_one_reading(*some):
            entries.append(ProposalEntry(some[0], mine.number, mine.name, some[1]))
        else:
            entries += [ProposalEntry(one, mine.number, mine.name) for one in some]
    return entries


# A person's word


def pin_number(archive: Archive, picture_id: int, number: str, end: EndLetter | None, box: Box) -> PinEntry:
    """Pin what a number names on a picture, in one step; the tag is added when it is new.

    Without an end it is the one that the words name, else the first that is pinned nowhere yet.
    """
    picture = get_picture(archive.store, picture_id)
    with archive.step(f"{number} pinned on {picture.file}"):
        named = resolve.find_tags(archive, number)
        mine = named[0].tag if named else tag.add_tag(archive, number, tag.TagWords())
        letter = end or (named[0].end if named else None) or free_end(archive, mine)
        made = pin.pin_tag(archive, mine, letter, picture, box)
    return pin_entry(archive, made)


def free_end(archive: Archive, mine: Tag) -> EndLetter:
    """The first end of a thing that is pinned nowhere yet, else A."""
    if mine.ends == 1:
        return "A"
    pinned = {one.end for one in pins.find_pins(archive.store, mine.tag_id)}
    return "B" if pinned == {"A"} else "A"


def carry_on(archive: Archive, pin_id: int) -> int:
    """Carry a pin on to the other pictures of its spot; the number of proposals for its end. Slow."""
    made = pins.get_pin(archive.store, pin_id)
    return len(pin.carried(archive, known_tags(archive)[made.tag_id], made.end))


def move_pin(archive: Archive, pin_id: int, box: Box) -> None:
    """Put a pin elsewhere on its picture; a point leaves the box as large as it was."""
    old = pins.get_pin(archive.store, pin_id)
    if box.w_frac is None:
        box = Box(box.x_frac, box.y_frac, old.w_frac, old.h_frac)
    pin.pin_tag(archive, known_tags(archive)[old.tag_id], old.end, get_picture(archive.store, old.picture_id), box)


def remove_pin(archive: Archive, pin_id: int) -> None:
    """Take a pin away."""
    pin.remove_pin(archive, pins.get_pin(archive.store, pin_id))


def swap_ends(archive: Archive, picture_id: int, tag_id: int) -> tuple[EndLetter, ...]:
    """Exchange A and B of a thing's pins on a picture, or give its only pin there the other letter; the ends now."""
    picture, mine = get_picture(archive.store, picture_id), known_tags(archive)[tag_id]
    here = [one for one in pins.pins_on_picture(archive.store, picture_id) if one.tag_id == tag_id]
    with archive.step(f"A and B of {mine.number} swapped on {picture.file}"):
        for old in here:
            pin.remove_pin(archive, old)
        for old in here:
            pin.pin_tag(archive, mine, other_end(old.end), picture, Box(old.x_frac, old.y_frac, old.w_frac, old.h_frac))
    return tuple(other_end(old.end) for old in here)


def other_end(end: EndLetter) -> EndLetter:
    """B for A, A for B."""
    return "B" if end == "A" else "A"


def confirm(archive: Archive, proposal: PinProposal) -> PinEntry:
    """Make a proposed pin a person's word."""
    picture = get_picture(archive.store, proposal.picture_id)
    return pin_entry(
        archive, pin.confirm_proposal(archive, known_tags(archive)[proposal.tag_id], proposal.end, picture)
    )


def accept_many(archive: Archive, proposals: Sequence[PinProposal], pairs: Sequence[Pair]) -> None:
    """Make proposed pins and pairs a person's word, in one step."""
    with archive.step(_accepted(archive, proposals, pairs)):
        for proposal in proposals:
            confirm(archive, proposal)
        for pair in pairs:
            spots.confirm_pair(archive, pair.before_id, pair.after_id)


def reject_many(archive: Archive, proposals: Sequence[PinProposal]) -> None:
    """Say that proposed pins of one thing on one picture are wrong, in one step; they are not proposed again."""
    first = proposals[0]
    picture, mine = get_picture(archive.store, first.picture_id), known_tags(archive)[first.tag_id]
    what = f"{mine.number} {first.end}" if len(proposals) == 1 else mine.number
    with archive.step(f"{what} rejected on {picture.file}"):
        for proposal in proposals:
            pin.reject_proposal(archive, mine, proposal.end, picture)


def _accepted(archive: Archive, proposals: Sequence[PinProposal], pairs: Sequence[Pair]) -> str:
    if len(proposals) == 1 and not pairs:
        return f"{known_tags(archive)[proposals[0].tag_id].number} {proposals[0].end} confirmed"
    counts = ((len(proposals), "pin"), (len(pairs), "pair"))
    return " and ".join(f"{many} {name}{'s' if many > 1 else ''}" for many, name in counts if many) + " accepted"


def _is_one_reading(one: PinProposal, other: PinProposal) -> bool:
    """Whether two proposals are of one number on one flag, taken for either end."""
    at, there = ((p.source, p.x_frac, p.y_frac) for p in (one, other))
    return at == there and one.source == "read"
