"""What every part of the service over an archive stands on: the archive, and what is asked of it again and again."""

from __future__ import annotations

import threading
from collections import defaultdict
from collections.abc import Iterable, Mapping
from contextlib import suppress

from asfound.actions import bursts, log, spots, tag
from asfound.actions.archive import Archive
from asfound.actions.read_proposals import propose_read
from asfound.errors import ArchiveTrouble
from asfound.model.pictures import Picture, Spot
from asfound.model.tags import Pin, PinProposal, Tag
from asfound.store import pins as pin_store
from asfound.store import spots as spot_store
from asfound.store.pictures import list_pictures
from asfound.tui.pins import PinEntry, ProposalEntry, asked_entries
from asfound.tui.service import State


class KeptArchive:
    """One archive; worker threads get a connection of their own. What is kept is kept until something is written."""

    def __init__(self, archive: Archive) -> None:
        self._own_thread = threading.get_ident()
        self._archive = archive
        self._others = threading.local()

    @property
    def archive(self) -> Archive:
        """The archive, over a connection that belongs to the calling thread."""
        if threading.get_ident() == self._own_thread:
            return self._archive
        if not hasattr(self._others, "archive"):
            self._others.archive = self._archive.reopen()
        opened: Archive = self._others.archive
        return opened

    def _pictures(self) -> dict[int, Picture]:
        archive = self.archive
        return archive.kept(
            "pictures", lambda: {p.picture_id: p for p in list_pictures(archive.store, archive.job.job_id)}
        )

    def _tags(self) -> dict[int, Tag]:
        return self.archive.kept("tags", lambda: {t.tag_id: t for t in tag.list_tags(self.archive)})

    def _spots(self) -> list[Spot]:
        return self.archive.kept("spots", lambda: spots.list_spots(self.archive))

    def _spot_of(self) -> dict[int, int]:
        archive = self.archive
        return archive.kept("spot of", lambda: spot_store.load_membership(archive.store, archive.job.job_id))

    def _states(self) -> dict[int, State]:
        def make() -> dict[int, State]:
            states: dict[int, State] = {}
            for event in log.list_events(self.archive):
                states[event.tag_id] = event.kind
            return states

        return self.archive.kept("states", make)

    def _pins_by_tag(self) -> dict[int, list[Pin]]:
        def make() -> dict[int, list[Pin]]:
            by_tag: dict[int, list[Pin]] = defaultdict(list)
            for one in pin_store.list_pins(self.archive.store, self.archive.job.job_id):
                by_tag[one.tag_id].append(one)
            return by_tag

        return self.archive.kept("pins by tag", make)

    def _spot_name(self, spot_id: int | None) -> str:
        names = self.archive.kept("spot names", lambda: {spot.spot_id: spot.name for spot in self._spots()})
        return names.get(spot_id, "") if spot_id is not None else ""

    def _called(self, spot_id: int) -> str:
        return self._spot_name(spot_id) or f"Spot {spot_id}"

    def behind(self) -> Mapping[int, int]:
        archive = self.archive
        return archive.kept("behind", lambda: bursts.behind(archive))

    def _pin_entry(self, one: Pin) -> PinEntry:
        mine = self._tags()[one.tag_id]
        return PinEntry(one, mine.number, mine.name)

    def _proposal_entries(self, found: Iterable[PinProposal]) -> list[ProposalEntry]:
        return asked_entries(found, self._tags())

    def _weigh_readings(self) -> None:
        """Let what was read follow the pins as they stand now; an archive that cannot be written stays as it was."""
        with suppress(ArchiveTrouble):
            self.archive.kept("readings weighed", lambda: propose_read(self.archive))
