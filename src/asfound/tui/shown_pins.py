"""The pins and proposed pins of one picture, and which of them is in hand."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.actions.pinned import PinEntry, ProposalEntry
from asfound.model.tags import EndLetter, Pin, PinProposal
from asfound.output.cells.labels import PinMark
from asfound.tui.words import count

Marked = PinEntry | ProposalEntry


class ShownPins:
    """Pins first, then proposals, one of them in hand or none; it knows no archive and no screen."""

    def __init__(self) -> None:
        self.marked: Sequence[Marked] = ()
        self.index = -1
        """The one in hand; -1 for none."""

    def renew(self, marked: Sequence[Marked]) -> None:
        """Take what is on the picture now; the place in it stays while there is one."""
        self.marked = marked
        self.index = min(self.index, len(marked) - 1)

    # In hand

    @property
    def current(self) -> Marked | None:
        """The one in hand."""
        return self.marked[self.index] if 0 <= self.index < len(self.marked) else None

    @property
    def pin(self) -> PinEntry | None:
        """The one in hand, where it is a pin."""
        return self.current if isinstance(self.current, PinEntry) else None

    @property
    def proposal(self) -> ProposalEntry | None:
        """The one in hand, where it is a proposal."""
        return self.current if isinstance(self.current, ProposalEntry) else None

    @property
    def asked_end(self) -> ProposalEntry | None:
        """The proposal in hand, when it is asked of it which end it is."""
        proposal = self.proposal
        return proposal if proposal is not None and proposal.other is not None else None

    @property
    def tag_end(self) -> tuple[int, EndLetter] | None:
        """Tag and end of the one in hand."""
        return None if self.current is None else _tag_end(self.current)

    # Going through them

    def step(self, by: int) -> int:
        """The place of the next one in a ring, or of the one before; the first when none is in hand."""
        return (self.index + by) % len(self.marked) if self.index >= 0 else 0

    def place_of(self, tag_id: int, end: str) -> int | None:
        """Where a tag end is among them; of its pin and a proposal, the last."""
        places = [place for place, mark in enumerate(self.marked) if _tag_end(mark) == (tag_id, end)]
        return places[-1] if places else None

    def proposed(self, after: int = -1) -> list[int]:
        """The places of the proposals behind a place."""
        return [place for place, mark in enumerate(self.marked) if isinstance(mark, ProposalEntry) and place > after]

    # Telling them

    def marks(self, width_px: int, height_px: int) -> list[PinMark]:
        """As they are drawn on the picture of this size."""
        return [_mark(one, width_px, height_px, current=place == self.index) for place, one in enumerate(self.marked)]

    def words(self) -> str:
        """The one in hand in one line, or how many there are."""
        mark = self.current
        if isinstance(mark, ProposalEntry):
            how = "carried here" if mark.proposal.source == "carried" else "read here"
            answers = "y right, n wrong" if mark.other is None else "A or B says which end, n wrong"
            return f"{mark.called}? {mark.tag_name}, {how}, {mark.confidence:.0%} sure: {answers}"
        if mark is not None:
            return f"{mark.number} {mark.pin.end} {mark.tag_name}"
        if not self.marked:
            return "No pins here. Move the crosshair, type the number, press space to pin it."
        asked = len(self.proposed())
        proposed = f", {asked} proposed: space goes to them, y right, n wrong" if asked else ""
        return f"{count(len(self.marked) - asked, 'pin')} here{proposed}; tab goes through them"


def _at(mark: Marked) -> Pin | PinProposal:
    return mark.pin if isinstance(mark, PinEntry) else mark.proposal


def _tag_end(mark: Marked) -> tuple[int, EndLetter]:
    return _at(mark).tag_id, _at(mark).end


def _mark(mark: Marked, width_px: int, height_px: int, *, current: bool) -> PinMark:
    at, is_asked = _at(mark), isinstance(mark, ProposalEntry)
    return PinMark(
        mark.label if isinstance(mark, ProposalEntry) else f"{mark.number}{at.end}",
        at.x_frac * width_px,
        at.y_frac * height_px,
        at.w_frac * width_px if at.w_frac else None,
        at.h_frac * height_px if at.h_frac else None,
        proposed=is_asked,
        current=current,
    )
