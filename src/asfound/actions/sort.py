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

SETTLED_AT_ONCE = 300
"""Jobs of at most so many pictures are grouped anew in a moment."""


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


def settle(archive: Archive, progress: Progress = quiet) -> str:
    """For whoever only wants to look: do what is done in a moment, and say in words what stays open.

    Pictures that were never looked at take seconds each, a large job minutes, and a disk that cannot be written takes
    nothing: then what is known already is answered from. Empty when everything is sorted.
    """
    if not is_pending(archive):
        return ""
    waiting = len(spots.unexamined_pictures(archive.store, archive.job.job_id, IN_USE))
    is_large = len(list_pictures(archive.store, archive.job.job_id)) > SETTLED_AT_ONCE
    if not (waiting or is_large or archive.store.is_read_only):
        finish_pending(archive, progress)
        return ""
    what = (
        f"{waiting} picture{'s are' if waiting > 1 else ' is'} not sorted yet" if waiting else "Sorting is not finished"
    )
    return f"{what}; this is what is known so far. Finish it with: asfound sort"


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
