"""Pins over the actions: made by hand, moved, taken away, carried on; proposals answered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from asfound.actions import pin, resolve, spots, tag
from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag
from asfound.store import pins as pin_store
from asfound.store.pictures import get_picture
from asfound.tui.service import PinEntry
from asfound.tui.words import count

if TYPE_CHECKING:
    from asfound.actions.archive import Archive


class ArchivePins:
    """Writes pins into one archive."""

    @property
    def archive(self) -> Archive:
        """The archive, over a connection that belongs to the calling thread."""
        raise NotImplementedError

    def _tags(self) -> dict[int, Tag]:
        raise NotImplementedError

    def _pin_entry(self, one: Pin) -> PinEntry:
        raise NotImplementedError

    def tag_picture(self, picture_id: int, number: str, end: EndLetter | None) -> PinEntry:
        return self.add_pin(picture_id, number, end, 0.5, 0.5, 1.0, 1.0)

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
        archive = self.archive
        picture = get_picture(archive.store, picture_id)
        with archive.step(f"{number} pinned on {picture.file}"):
            known = resolve.find_tags(archive, number)
            mine = known[0].tag if known else tag.add_tag(archive, number, tag.TagWords())
            letter = end or (known[0].end if known else None) or self._free_end(mine, picture_id)
            made = pin.pin_tag(archive, mine, letter, picture, pin.Box(x_frac, y_frac, w_frac, h_frac))
        return self._pin_entry(made)

    def carry_pin(self, pin_id: int) -> int:
        made = pin_store.get_pin(self.archive.store, pin_id)
        mine = self._tags()[made.tag_id]
        return len(pin.carried(self.archive, mine, made.end))

    def move_pin(self, pin_id: int, x_frac: float, y_frac: float) -> None:
        archive = self.archive
        old = pin_store.get_pin(archive.store, pin_id)
        picture = get_picture(archive.store, old.picture_id)
        box = pin.Box(x_frac, y_frac, old.w_frac, old.h_frac)
        pin.pin_tag(archive, self._tags()[old.tag_id], old.end, picture, box)

    def delete_pin(self, pin_id: int) -> None:
        pin.remove_pin(self.archive, pin_store.get_pin(self.archive.store, pin_id))

    def confirm_proposal(self, proposal: PinProposal) -> PinEntry:
        picture = get_picture(self.archive.store, proposal.picture_id)
        return self._pin_entry(pin.confirm_proposal(self.archive, self._tags()[proposal.tag_id], proposal.end, picture))

    def reject_proposal(self, proposal: PinProposal) -> None:
        picture = get_picture(self.archive.store, proposal.picture_id)
        pin.reject_proposal(self.archive, self._tags()[proposal.tag_id], proposal.end, picture)

    def accept_many(self, proposals: Sequence[PinProposal], pairs: Sequence[Pair]) -> None:
        with self.archive.step(_accepted_words(proposals, pairs, self._tags())):
            for proposal in proposals:
                self.confirm_proposal(proposal)
            for pair in pairs:
                spots.confirm_pair(self.archive, pair.before_id, pair.after_id)

    def _free_end(self, mine: Tag, picture_id: int) -> EndLetter:
        """The first end of a tag that is pinned nowhere yet, else A."""
        if mine.ends == 1:
            return "A"
        pinned = {p.end for p in pin_store.find_pins(self.archive.store, mine.tag_id) if p.picture_id != picture_id}
        here = {p.end for p in pin_store.find_pins(self.archive.store, mine.tag_id) if p.picture_id == picture_id}
        return "B" if "A" in pinned | here and "B" not in pinned | here else "A"


def _accepted_words(proposals: Sequence[PinProposal], pairs: Sequence[Pair], tags: Mapping[int, Tag]) -> str:
    if len(proposals) == 1 and not pairs:
        return f"{tags[proposals[0].tag_id].number} {proposals[0].end} confirmed"
    parts = [count(len(some), name) for some, name in ((proposals, "pin"), (pairs, "pair")) if some]
    return f"{' and '.join(parts)} accepted"
