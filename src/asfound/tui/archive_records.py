"""`tui.records.Records` over the actions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from asfound.actions import log, tag
from asfound.actions.find import FoundEnd, seen_end
from asfound.actions.tag_card import read_cards
from asfound.core.codes.cautions import cautions_for
from asfound.model.tags import EndLetter
from asfound.store.snags import list_snags
from asfound.tui.records import CardEntry

if TYPE_CHECKING:
    from asfound.actions.archive import Archive
    from asfound.tui.service import FindEntry


class ArchiveRecords:
    """Answers about the written record from one archive."""

    @property
    def archive(self) -> Archive:
        """The archive, over a connection that belongs to the calling thread."""
        raise NotImplementedError

    def _find_entry(self, answer: FoundEnd) -> FindEntry:
        raise NotImplementedError

    def card(self, tag_id: int) -> CardEntry:
        archive = self.archive
        card = archive.kept("cards", lambda: read_cards(archive))[tag_id]
        snags = archive.kept("snags", lambda: list_snags(archive.store, archive.job.job_id))
        cautions = tuple(dict.fromkeys(one.text for one in cautions_for([card.tag.hazard], card.tag.kind)))
        return CardEntry(
            label=card.label,
            name=card.tag.name or card.tag.kind,
            fields=tuple(field for field in card.fields if field[0] not in ("name",)),
            notes=tuple(note for note in card.notes if note not in cautions),
            snags=tuple(f"snag {one.label}: {one.what}" for one in snags if one.tag_id == tag_id and one.is_open),
            cautions=cautions,
        )

    def find_end(self, tag_id: int, end: EndLetter) -> FindEntry | None:
        archive = self.archive
        mine = next((one for one in tag.list_tags(archive) if one.tag_id == tag_id), None)
        if mine is None:
            return None
        ends = tag.list_ends(archive).get(tag_id, ())
        return next((self._find_entry(seen_end(archive, mine, one)) for one in ends if one.end == end), None)

    def off_at_s(self, tag_id: int) -> float | None:
        archive = self.archive
        return archive.kept("off times", lambda: log.off_times_s(archive)).get(tag_id)
