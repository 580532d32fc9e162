"""`tui.pins.Pins` over the actions: pins made by hand, moved, taken away, carried on; proposals answered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from asfound.actions import pin, resolve, spots, tag
from asfound.core.pins.numbering import sort_key
from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter, Pin, PinProposal, Tag
from asfound.store import pins as pin_store
from asfound.store.pictures import get_picture
from asfound.tui.archive_base import KeptArchive
from asfound.tui.pins import PinEntry, ProposalEntry
from asfound.tui.words import count


class ArchivePins(KeptArchive):
    """Reads and writes the pins of one archive."""

    def pins(self, picture_id: int) -> list[PinEntry]:
        found = [self._pin_entry(p) for p in pin_store.pins_on_picture(self.archive.store, picture_id)]
        return sorted(found, key=lambda entry: (sort_key(entry.number), entry.pin.end))

    def proposals(self, picture_id: int) -> list[ProposalEntry]:
        self._weigh_readings()
        found = self._proposal_entries(pin_store.proposals_on_picture(self.archive.store, picture_id))
        return sorted(found, key=lambda entry: (sort_key(entry.number), entry.label))

    def pictures_to_answer(self) -> list[int]:
        archive = self.archive
        found = pin_store.list_proposals(archive.store, archive.job.job_id)
        asked = {p.picture_id for p in found} - self.behind().keys()
        return [picture_id for picture_id in self._pictures() if picture_id in asked]

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
            letter = end or (known[0].end if known else None) or self._free_end(mine)
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

    def reject_many(self, proposals: Sequence[PinProposal]) -> None:
        first = proposals[0]
        picture, mine = get_picture(self.archive.store, first.picture_id), self._tags()[first.tag_id]
        what = f"{mine.number} {first.end}" if len(proposals) == 1 else mine.number
        with self.archive.step(f"{what} rejected on {picture.file}"):
            for proposal in proposals:
                pin.reject_proposal(self.archive, mine, proposal.end, picture)

    def accept_many(self, proposals: Sequence[PinProposal], pairs: Sequence[Pair]) -> None:
        with self.archive.step(_accepted_words(proposals, pairs, self._tags())):
            for proposal in proposals:
                self.confirm_proposal(proposal)
            for pair in pairs:
                spots.confirm_pair(self.archive, pair.before_id, pair.after_id)

    def swap_ends(self, picture_id: int, tag_id: int) -> str:
        archive = self.archive
        picture = get_picture(archive.store, picture_id)
        mine = self._tags()[tag_id]
        here = {p.end: p for p in pin_store.pins_on_picture(archive.store, picture_id) if p.tag_id == tag_id}
        with archive.step(f"A and B of {mine.number} swapped on {picture.file}"):
            for old in here.values():
                pin.remove_pin(archive, old)
            for end, old in here.items():
                pin.pin_tag(archive, mine, _other(end), picture, _box(old))
        if len(here) == 2:
            return f"A and B of {mine.number} are swapped on this picture."
        return f"This is now end {_other(next(iter(here)))} of {mine.number}."

    def resize_pin(self, pin_id: int, x_frac: float, y_frac: float, w_frac: float | None, h_frac: float | None) -> None:
        archive = self.archive
        old = pin_store.get_pin(archive.store, pin_id)
        mine = self._tags()[old.tag_id]
        box = pin.Box(x_frac, y_frac, w_frac, h_frac)
        pin.pin_tag(archive, mine, old.end, get_picture(archive.store, old.picture_id), box)

    def _free_end(self, mine: Tag) -> EndLetter:
        """The first end of a tag that is pinned nowhere yet, else A."""
        if mine.ends == 1:
            return "A"
        pinned = {p.end for p in pin_store.find_pins(self.archive.store, mine.tag_id)}
        return "B" if pinned == {"A"} else "A"


def _accepted_words(proposals: Sequence[PinProposal], pairs: Sequence[Pair], tags: Mapping[int, Tag]) -> str:
    if len(proposals) == 1 and not pairs:
        return f"{tags[proposals[0].tag_id].number} {proposals[0].end} confirmed"
    parts = [count(len(some), name) for some, name in ((proposals, "pin"), (pairs, "pair")) if some]
    return f"{' and '.join(parts)} accepted"


def _other(end: EndLetter) -> EndLetter:
    return "B" if end == "A" else "A"


def _box(old: Pin) -> pin.Box:
    return pin.Box(old.x_frac, old.y_frac, old.w_frac, old.h_frac)
