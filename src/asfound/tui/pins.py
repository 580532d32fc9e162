"""What the screens ask about pins: those on a picture, what is proposed there, and changes of both."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter, Pin, PinProposal


@dataclass(frozen=True, slots=True)
class PinEntry:
    """A pin with what it is a pin of."""

    pin: Pin
    number: str
    tag_name: str


@dataclass(frozen=True, slots=True)
class ProposalEntry:
    """A proposed pin with what it would be a pin of."""

    proposal: PinProposal
    number: str
    tag_name: str


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

    def reject_proposal(self, proposal: PinProposal) -> None:
        """Say that a proposed pin is wrong; it is not proposed again."""

    def accept_many(self, proposals: Sequence[PinProposal], pairs: Sequence[Pair]) -> None:
        """Make proposed pins and pairs a person's word, in one step."""

    def swap_ends(self, picture_id: int, tag_id: int) -> str:
        """Exchange A and B of a thing's pins on a picture, or give its only pin there the other letter; in words."""

    def resize_pin(self, pin_id: int, x_frac: float, y_frac: float, w_frac: float | None, h_frac: float | None) -> None:
        """Give a pin another place and box."""
