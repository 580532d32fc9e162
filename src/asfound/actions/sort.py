"""Finish what is still to be sorted: spots, pairs and carried pins after a dump or a word of the person.

This module is light, so that a command that finds nothing to do answers at once; `sorting` does the work.
"""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.progress import Progress, quiet
from asfound.actions.sort_report import SortReport
from asfound.core.match import IN_USE
from asfound.store import pins, spots
from asfound.store.pictures import list_pictures


def is_pending(archive: Archive) -> bool:
    """Whether anything is still to be sorted or carried."""
    return bool(spots.unexamined_pictures(archive.store, archive.job.job_id, IN_USE)) or is_pending_but_for_new(archive)


def is_pending_but_for_new(archive: Archive) -> bool:
    """Whether spots or carried pins no longer follow the person's words, whatever waits besides."""
    return spots.are_spots_stale(archive.store) or bool(pins.stale_ends(archive.store))


def finish_pending(archive: Archive, progress: Progress = quiet) -> SortReport:
    """Do whatever sorting, pairing and carrying is still open; answers at once when nothing is."""
    if not is_pending(archive):
        return SortReport()
    from asfound.actions.sorting import sort_pictures

    return sort_pictures(archive, progress)


def rebuild(archive: Archive, progress: Progress = quiet) -> SortReport:
    """Work everything out again from the originals and the person's words.

    Raises
    ------
    OriginalMissing
        If any original is not on the disk; nothing is forgotten then, for it could not be worked out again.
    """
    from asfound.actions.views import source_of

    for picture in list_pictures(archive.store, archive.job.job_id):
        source_of(archive, picture)
    with archive.store.transaction():
        spots.clear_computed(archive.store, archive.job.job_id)
        pins.mark_stale(archive.store, archive.job.job_id)
    return finish_pending(archive, progress)
