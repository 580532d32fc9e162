"""Back an archive up while it is in use, and bring a backup back."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from asfound.actions.archive import Archive
from asfound.actions.last_backup import LastBackup, save_last_backup
from asfound.actions.opened_backup import opened_backup, refuse_damaged
from asfound.actions.owner import check_owner, identity_of_archive, new_identity
from asfound.actions.progress import Progress, quiet
from asfound.archive.atomic import TEMPORARY, save_bytes
from asfound.archive.backups import (
    DATABASES,
    half_written,
    list_states,
    make_backup_folder,
    publish_zip,
    save_identity,
    state_name,
    states_in_file,
    superseded,
    time_of_state,
)
from asfound.archive.check import at_once
from asfound.archive.elsewhere import Elsewhere
from asfound.archive.layout import Layout, make_layout
from asfound.archive.put import find_original, find_stored, is_whole, put_original
from asfound.errors import ArchiveTrouble, Misused
from asfound.store import jobs
from asfound.store.costs import name_of_original
from asfound.store.database import Store
from asfound.store.page_sums import sums_path
from asfound.store.pictures import list_originals
from asfound.store.snapshot import put_into_use, save_snapshot, sum_pages
from asfound.system import replace, sync_folder

ZIP = ".zip"
_SECOND = timedelta(seconds=1)


@dataclass(slots=True)
class BackupReport:
    """What a backup did.

    Attributes
    ----------
    state : str
        Name of the state of the database that was made.
    copied, known : int
        Originals that were copied now, and that were there.
    replaced : str
        Name of the earlier state that a backup in one file held: it holds one only. Empty when there was none.
    left_out : list of (str, str)
        Names of originals that are lost or damaged here, with the reason; whole ones in the backup stay.
    is_on_same_disk : bool
        Whether it lies on the disk of the archive: one fault of that disk would take both.
    """

    place: Path
    state: str = ""
    replaced: str = ""
    copied: int = 0
    known: int = 0
    left_out: list[tuple[str, str]] = field(default_factory=list)
    is_on_same_disk: bool = False


def back_up(
    archive: Archive,
    target: Path,
    *,
    progress: Progress = quiet,
    pace: Callable[[], None] = at_once,
    make_identity: Callable[[], str] = new_identity,
) -> BackupReport:
    """Back the archive up into a folder, or into one file where the name ends with .zip.

    A folder gets only what it does not have yet, and another state of the database; the states before it stay.

    Raises
    ------
    Misused
        If the target is the archive itself, lies in it, is another archive or its backup, or a zip that is no backup.
    ArchiveTrouble
        If the database is damaged, or the target cannot be written. What was backed up before is as it was.
    """
    target = target.expanduser().absolute()
    _check_target(archive, target)
    check_owner(archive.store, target)
    identity = identity_of_archive(archive.store, make_identity)
    report, in_it = BackupReport(target), jobs.last_work(archive.store)
    try:
        if target.suffix.lower() == ZIP:
            _into_file(archive, target, report, progress, identity)
        else:
            save_identity(make_backup_folder(target), identity)
            _into_folder(archive, target, report, progress, pace)
    except OSError as error:
        raise ArchiveTrouble(
            f"{target}: the backup cannot be written ({error.strerror or error}); backups made before are as they "
            "were. Make room, or name another folder."
        ) from error
    save_last_backup(archive, LastBackup(archive.now(), str(target), *in_it))
    report.is_on_same_disk = target.stat().st_dev == archive.layout.database.stat().st_dev
    return report


def restore(backup: Path, target: Path, *, state: str = "", progress: Progress = quiet) -> BackupReport:
    """Bring a backup back as a new archive: originals first, the database last, so that a stopped run can go on.

    Parameters
    ----------
    state : str
        Beginning of the name of the state to bring back; the latest when empty.

    Raises
    ------
    Misused
        If there is an archive in the target already, or the backup has no such state.
    NoArchive
        If there is no backup.
    ArchiveTrouble
        If the state is damaged; the latest whole one is named.
    """
    target = target.expanduser().absolute()
    if Layout(target).database.exists() and Layout(target).database.stat().st_size:
        raise Misused(
            f"{target}: there is an archive already, and it is not written over. Bring the backup back beside it with "
            "--to FOLDER, or take single originals from it: asfound repair --from BACKUP"
        )
    with opened_backup(backup, state) as (database, elsewhere):
        refuse_damaged(backup, database, state)
        layout = make_layout(target)
        report = BackupReport(target, database.stem)
        with Store(database, read_only=True) as store:
            wanted = list_originals(store)
            for done, (digest, suffix, size) in enumerate(wanted):
                progress("bringing back", done, len(wanted))
                _bring_back(layout, store, elsewhere, digest, suffix, size, report)
        save_bytes(layout.database, database.read_bytes())
        put_into_use(layout.database)
    return report


def _check_target(archive: Archive, target: Path) -> None:
    folder = archive.folder.resolve()
    if folder == target.resolve() or folder in target.resolve().parents:
        raise Misused(f"{target} lies in the archive itself; a backup belongs on another disk or stick.")
    if Layout(target).database.exists():
        raise Misused(f"{target} is an archive; name an empty folder, one with backups, or a file ending with .zip.")
    if not target.parent.is_dir():
        raise Misused(f"{target.parent} is not there; plug the stick or disk in, or make that folder first.")
    if target.is_file() and target.suffix.lower() != ZIP:
        raise Misused(f"{target} is a file; name a folder, or a file ending with .zip.")
    if target.suffix.lower() == ZIP and target.exists() and not states_in_file(target):
        raise Misused(f"{target} is there and is no backup; name another file.")


def _into_folder(
    archive: Archive, target: Path, report: BackupReport, progress: Progress, pace: Callable[[], None]
) -> None:
    layout = Layout(target)
    for left in half_written(target):
        left.unlink(missing_ok=True)
    report.state = _free_name(target, archive.now())
    draft = target / DATABASES / f"{TEMPORARY}{report.state}"
    try:
        save_snapshot(archive.store, draft)
        wanted = list_originals(archive.store)
        for done, (digest, suffix, size) in enumerate(wanted):
            progress("backing up", done, len(wanted))
            _copy(archive, layout, digest, suffix, size, report)
            pace()
        final = target / DATABASES / report.state
        replace(draft, final)
        sum_pages(final)
        sync_folder(final.parent)
    finally:
        draft.unlink(missing_ok=True)
    for old in superseded(list_states(target)):
        sums_path(old).unlink(missing_ok=True)
        old.unlink()


def _into_file(archive: Archive, target: Path, report: BackupReport, progress: Progress, identity: str) -> None:
    report.state = state_name(archive.now())
    with tempfile.TemporaryDirectory(prefix="asfound-") as place:
        database = Path(place, report.state)
        save_snapshot(archive.store, database)
        earlier = states_in_file(target)
        publish_zip(target, database, report.state, _originals_of(archive, report, progress), identity)
        report.replaced = Path(earlier[0]).name if earlier else ""


def _originals_of(archive: Archive, report: BackupReport, progress: Progress) -> Iterator[tuple[Path, str]]:
    """Every original that is whole, and its place in a backup."""
    wanted = list_originals(archive.store)
    for done, (digest, suffix, _size) in enumerate(wanted):
        progress("backing up", done, len(wanted))
        path = _whole_one(archive, digest, suffix, report)
        if path is not None:
            report.copied += 1
            yield path, f"originals/{digest[:2]}/{digest}{suffix}"


def _copy(archive: Archive, layout: Layout, digest: str, suffix: str, size: int, report: BackupReport) -> None:
    """Copy one original unless a backup has it in its size."""
    there = find_stored(layout, digest)
    if there is not None and there.stat().st_size == size:
        report.known += 1
        return
    path = _whole_one(archive, digest, suffix, report)
    if path is not None:
        with open(path, "rb") as source:
            put_original(layout, source, suffix)
        report.copied += 1


def _whole_one(archive: Archive, digest: str, suffix: str, report: BackupReport) -> Path | None:
    """Where an original lies; None where it is lost or damaged, which is told."""
    path = find_original(archive.layout, digest, suffix)
    if path is not None and is_whole(path, digest):
        return path
    name = name_of_original(archive.store, digest) or digest[:12]
    report.left_out.append((name, "it is damaged here" if path else "it is not in the archive"))
    return None


def _bring_back(
    layout: Layout, store: Store, elsewhere: Elsewhere, digest: str, suffix: str, size: int, report: BackupReport
) -> None:
    there = find_stored(layout, digest)
    if there is not None and is_whole(there, digest):
        report.known += 1
        return
    opener = elsewhere.find(digest, size)
    if opener is None:
        report.left_out.append((name_of_original(store, digest) or digest[:12], "the backup does not have it whole"))
        return
    with opener() as source:
        put_original(layout, source, suffix)  # type: ignore[arg-type]
    report.copied += 1


def _free_name(target: Path, at: datetime) -> str:
    """A name for a state that none has: two backups in one second are two states."""
    name = state_name(at)
    latest = next(iter(list_states(target)), None)
    before = None if latest is None else time_of_state(latest.name)
    while (target / DATABASES / name).exists() or (before is not None and name <= state_name(before)):
        known = time_of_state(name)
        assert known is not None
        step = before if before is not None and before > known else known
        name = state_name(step.replace(microsecond=0) + _SECOND)
    return name
