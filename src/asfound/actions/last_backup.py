"""When the archive was backed up last, and the work since that no backup holds."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta

from asfound.actions.archive import Archive
from asfound.store import jobs

LAST = "last backup"
DAYS_WORK = timedelta(hours=6)
"""So long after the first work that no backup holds, one is asked for; on another day at once."""


@dataclass(frozen=True, slots=True)
class LastBackup:
    """When and where the archive was backed up last, and the last step and dump that are in it.

    Work is told apart by these numbers and not by times: a clock that was set back makes no work safe.
    """

    at: datetime
    place: str
    step_id: int = 0
    dump_id: int = 0


@dataclass(frozen=True, slots=True)
class BackupState:
    """How safe the work is.

    Attributes
    ----------
    last : LastBackup or None
        None when there never was one.
    days : int
        Days of work that no backup holds, the present one too; 0 when all is in it.
    is_due : bool
        Whether it is time to ask for a backup.
    """

    last: LastBackup | None
    days: int = 0
    is_due: bool = False


NEVER = BackupState(None)


def last_backup(archive: Archive) -> LastBackup | None:
    """When and where the archive was backed up last; None when it never was."""
    with suppress(ValueError, TypeError):
        at, place, *numbers = json.loads(jobs.get_setting(archive.store, LAST) or "")
        return LastBackup(datetime.fromisoformat(at), str(place), *map(int, numbers[:2]))
    return None


def save_last_backup(archive: Archive, made: LastBackup) -> None:
    """Keep when and where the archive was backed up, for the first screen and for the next time."""
    numbers = (made.step_id, made.dump_id)
    jobs.save_setting(archive.store, LAST, json.dumps([made.at.isoformat(), made.place, *numbers]))


def backup_state(archive: Archive) -> BackupState:
    """What of the work is in a backup, as it is now."""
    last, now = last_backup(archive), archive.now()
    step_id, dump_id = (last.step_id, last.dump_id) if last is not None else (0, 0)
    first, days = jobs.work_after(archive.store, step_id, dump_id)
    is_due = first is not None and (first.date() != now.date() or now - first >= DAYS_WORK)
    return BackupState(last, days, is_due)
