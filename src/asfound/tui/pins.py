"""What the screens ask about pins: those on a picture, what is proposed there, and changes of both."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag


@dataclass(frozen=True, slots=True)
class PinEntry:
    """A pin with what it is a pin of."""

    pin: Pin
    number: str
    tag_name: str


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


def asked_entries(found: Iterable[PinProposal], tags: Mapping[int, Tag]) -> list[ProposalEntry]:
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


def _is_one_reading(one: PinProposal, other: PinProposal) -> bool:
    """Whether two proposals are of one number on one flag, taken for either end."""
    at, there = ((p.source, p.x_frac, p.y_frac) for p in (one, other))
    return at == there and one.source == "read"


class Pins(Protocol):
    """The part of `Service` that is about pins. `carry_pin` is slow."""

    def pins(self, picture_id: int) -> list[PinEntry]:
        """The pins on a picture, in order of number and end."""

    def proposals(self, picture_id: int) -> list[ProposalEntry]:
        """The proposed pins on a picture that nobody has answered, in order of number and end."""

    def pictures_to_answer(self) -> list[int]:
        """Pictures with proposed pins, oldest first."""

    def tag_picture(self, picture_id: int, number: str, end: EndLetter | None) -> PinEntry:
        """Say that a picture shows a tag end, somewhere: a pin over the whole of it. Adds the tag when it is new."""

    def add_pin(
        self,
        picture_id: int,
        number: str,
        end: EndLetter | None,
        x_frac: float,
        y_frac: float,
        w_frac: float | None = None,
        h_frac: float | None = None,
    ) -> PinEntry:
        """Pin a tag end on a picture; the tag is added when it is new. Without an end, the first not yet pinned."""

    def carry_pin(self, pin_id: int) -> int:
        """Carry a pin on to the other pictures of its spot; the number of proposals made. Slow."""

    def move_pin(self, pin_id: int, x_frac: float, y_frac: float) -> None:
        """Put a pin elsewhere on its picture."""

    def delete_pin(self, pin_id: int) -> None:
        """Take a pin away."""

    def confirm_proposal(self, proposal: PinProposal) -> PinEntry:
        """Make a proposed pin a person's word."""

    def reject_many(self, proposals: Sequence[PinProposal]) -> None:
        """Say that proposed pins of one thing on one picture are wrong, in one step; they are not proposed again."""

    def accept_many(self, proposals: Sequence[PinProposal], pairs: Sequence[Pair]) -> None:
        """Make proposed pins and pairs a person's word, in one step."""

    def swap_ends(self, picture_id: int, tag_id: int) -> str:
        """Exchange A and B of a thing's pins on a picture, or give its only pin there the other letter; in words."""

    def resize_pin(self, pin_id: int, x_frac: float, y_frac: float, w_frac: float | None, h_frac: float | None) -> None:
        """Give a pin another place and box."""
