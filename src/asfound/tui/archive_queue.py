"""The sort queue over the actions: what the machine proposes and nobody has answered."""

from __future__ import annotations

from collections import defaultdict

from asfound.actions import bursts, settings
from asfound.model.pictures import Pair
from asfound.store import pins as pin_store
from asfound.store import spots as spot_store
from asfound.tui.archive_base import KeptArchive
from asfound.tui.pins import ProposalEntry
from asfound.tui.sort_items import BurstProposal, PairProposal, PinQuestion, SortItem, SpotProposal, TimeQuestion


class ArchiveQueue(KeptArchive):
    """Gathers what is proposed in one archive."""

    def sort_queue(self) -> list[SortItem]:
        self._weigh_readings()

        def make() -> list[SortItem]:
            return [
                *(BurstProposal(one) for one in bursts.open_bursts(self.archive)),
                *self._new_spots(),
                *self._new_pairs(),
                *self._open_pins(),
                *self._doubtful(),
            ]

        return self.archive.kept("sort queue", make)

    def _new_spots(self) -> list[SortItem]:
        archive = self.archive
        placed = archive.kept("placed", lambda: spot_store.load_placed(archive.store, archive.job.job_id))
        items: list[SortItem] = []
        for spot in self._spots():
            new = tuple(i for i in spot.picture_ids if i not in placed)
            if new:
                old = len(spot.picture_ids) - len(new)
                why = "they look alike" if not old else f"they look like the {old} pictures it has"
                items.append(SpotProposal(spot, new, "", why))
        return items

    def _new_pairs(self) -> list[SortItem]:
        """The best pair of each spot that has none by a person's word, of pictures that are in front."""
        words = spot_store.load_pair_words(self.archive.store, self.archive.job.job_id)
        found, behind = spot_store.list_pairs(self.archive.store, self.archive.job.job_id), self.behind()
        best: dict[int, Pair] = {}
        for pair in found:
            hidden = pair.before_id in behind or pair.after_id in behind
            if not hidden and (pair.before_id, pair.after_id) not in words:
                best.setdefault(pair.spot_id, pair)
        said = {pair.spot_id for pair in found if words.get((pair.before_id, pair.after_id)) == "pair"}
        return [
            PairProposal(pair, self._called(spot_id), f"{pair.kind}, {pair.score:.0%} sure")
            for spot_id, pair in best.items()
            if spot_id not in said
        ]

    def _open_pins(self) -> list[SortItem]:
        """Proposed pins by picture in the order in which those were most likely taken, the surest of each first."""
        archive = self.archive
        entries = self._proposal_entries(pin_store.list_proposals(archive.store, archive.job.job_id))
        pictures, behind, spot_of = self._pictures(), self.behind(), self._spot_of()
        pinned = self._pins_by_tag()
        by_picture: dict[int, list[ProposalEntry]] = defaultdict(list)
        for entry in entries:
            by_picture[entry.proposal.picture_id].append(entry)
        return [
            PinQuestion(
                entry,
                picture,
                f"{entry.proposal.source}, {entry.confidence:.0%} sure",
                spot_of.get(picture_id),
                in_passing=entry.other is not None and entry.proposal.tag_id in pinned,
            )
            for picture_id, picture in pictures.items()
            if picture_id not in behind
            for entry in by_picture.get(picture_id, ())
        ]

    def _doubtful(self) -> list[SortItem]:
        accepted = settings.accepted_times(self.archive)
        return [
            TimeQuestion(picture, str(picture.time_doubt))
            for picture in self._pictures().values()
            if picture.time_doubt is not None and picture.picture_id not in accepted
        ]
