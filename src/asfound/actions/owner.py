"""Whose a backup is: one archive is never backed up over the backup of another."""

from __future__ import annotations

import uuid
import zipfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from asfound.actions.opened_backup import opened_backup
from asfound.archive.backups import identity_of_backup
from asfound.errors import ArchiveTrouble, AsfoundError, Misused, NoArchive
from asfound.store import jobs
from asfound.store.database import Store

IDENTITY = "identity"


def new_identity() -> str:
    """Something that no other archive has."""
    return uuid.uuid4().hex


def check_owner(store: Store, target: Path) -> None:
    """Raise `Misused` where a folder or file holds the backup of another archive, or of nobody knows which."""
    theirs, ours = identity_of_backup(target), jobs.get_setting(store, IDENTITY)
    if theirs and theirs != ours:
        raise Misused(f"{target} holds the backup of another archive; name another folder or file.")
    if not theirs and not _shares_a_job(store, target):
        raise Misused(
            f"{target} holds a backup, and nothing in it says that it is of this archive; name another folder or file."
        )


def identity_of_archive(store: Store, make: Callable[[], str]) -> str:
    """What tells an archive from others, made when it is first backed up; empty where it cannot be written.

    A disk that can only be read, or is full, is the one that needs its backup most.
    """
    known = jobs.get_setting(store, IDENTITY)
    with suppress(ArchiveTrouble):
        if not known:
            made = make()
            jobs.save_setting(store, IDENTITY, made)
            return made
    return known or ""


def _shares_a_job(store: Store, target: Path) -> bool:
    """Whether a backup from before identities knows a job that began when one of ours did; true where there is none."""
    try:
        with opened_backup(target) as (database, _), Store(database, read_only=True) as backup:
            return bool(jobs.beginnings(store) & jobs.beginnings(backup))
    except (NoArchive, Misused):
        return True  # nothing there, or one that was never finished
    except (AsfoundError, OSError, zipfile.BadZipFile):
        return False
