"""Repair an archive: originals from a backup, a card or any folder; the database by what can be read; the rest anew.

Says plainly what cannot be recovered. The damaged database is kept beside the new one, never removed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from asfound.actions.archive import local_now
from asfound.actions.opened_backup import opened_backup
from asfound.actions.progress import Progress, quiet
from asfound.archive.atomic import save_bytes, sweep_drafts
from asfound.archive.cache import is_cached_whole, list_cached
from asfound.archive.elsewhere import Elsewhere
from asfound.archive.layout import Layout
from asfound.archive.put import find_stored, is_whole, put_original
from asfound.errors import ArchiveTrouble, AsfoundError, NoArchive
from asfound.store.costs import ends_pinned_on, name_of_original, pictures_of_original
from asfound.store.database import Store
from asfound.store.documents import tags_of_original
from asfound.store.integrity import check_database, find_changed_rows, is_free
from asfound.store.page_sums import forget_sums
from asfound.store.pictures import list_originals
from asfound.store.salvage import SalvageReport, salvage
from asfound.store.snapshot import put_into_use
from asfound.system import replace, sync_folder


@dataclass(slots=True)
class RepairReport:
    """What a repair did.

    Attributes
    ----------
    database : str
        What became of the database; empty when it was sound.
    salvaged : SalvageReport or None
    healed : list of str
        Originals that are whole again.
    gone : list of (str, str)
        Originals that cannot be recovered, by name, and the tag ends pinned on them.
    made_again : int
        Previews and features that were damaged; each is made anew when it is next needed.
    """

    database: str = ""
    salvaged: SalvageReport | None = None
    healed: list[str] = field(default_factory=list)
    gone: list[tuple[str, str]] = field(default_factory=list)
    made_again: int = 0

    @property
    def is_whole(self) -> bool:
        """Whether nothing was lost."""
        lost = self.salvaged is not None and (self.salvaged.lost or self.salvaged.doubtful or self.salvaged.loose)
        return not self.gone and not lost and not self.database.startswith("gone")


def repair(
    folder: Path, sources: Sequence[Path] = (), *, progress: Progress = quiet, at: datetime | None = None
) -> RepairReport:
    """Repair the archive in a folder with what lies in the sources: backups, cards, any folders and zips.

    Raises
    ------
    NoArchive
        If there is no archive in the folder.
    AsfoundError
        If another program has the database open.
    ArchiveTrouble
        If the disk fails or is full; what was damaged is kept, and repairing again goes on from there.
    """
    try:
        return _repair(folder, sources, progress, at)
    except OSError as error:
        raise ArchiveTrouble(
            f"{folder}: the disk cannot be written ({error.strerror or error}); make room or check it, "
            "and repair again."
        ) from error


def _repair(folder: Path, sources: Sequence[Path], progress: Progress, at: datetime | None) -> RepairReport:
    layout = Layout(folder)
    if not layout.database.exists() and not layout.originals.is_dir():
        raise NoArchive(f"{folder}: no archive here. Bring a backup back with: asfound restore BACKUP")
    report = RepairReport()
    with _state_of(sources) as backup:
        _repair_database(layout, backup, report, at or local_now())
    sweep_drafts(layout.originals)
    if layout.database.exists() and not report.database.startswith("gone"):
        with Store(layout.database) as store:
            _repair_originals(layout, store, Elsewhere(sources), report, progress)
    for path in list(list_cached(layout)):
        if not is_cached_whole(path):
            path.unlink(missing_ok=True)
            report.made_again += 1
    return report


@contextmanager
def _state_of(sources: Sequence[Path]) -> Iterator[Path | None]:
    """The latest state of the database in the first source that is a backup; None when none is."""
    with ExitStack() as stack:
        found: Path | None = None
        for source in sources:
            with suppress(AsfoundError):
                state, _ = stack.enter_context(opened_backup(source))
                found = found or (None if check_database(state) else state)
        yield found


def _repair_database(layout: Layout, backup: Path | None, report: RepairReport, at: datetime) -> None:
    database = layout.database
    is_there = database.exists() and database.stat().st_size > 0
    if is_there and not check_database(database):
        return
    if is_there and not is_free(database):
        raise AsfoundError(f"{database}: another program has it open; leave the screens, then repair it again.")
    if not is_there and backup is None:
        report.database = (
            "gone: there is none beside the originals, and no backup was named. Name one with: asfound repair --from "
            f"BACKUP, or start a new record and add {layout.originals}"
        )
        return
    fresh = database.with_name(f"{database.stem}-repaired.sqlite")
    fresh.unlink(missing_ok=True)
    forget_sums(fresh)
    if is_there:
        report.salvaged = salvage(database, fresh, changed=find_changed_rows(database), backup=backup)
    if backup is not None and (report.salvaged is None or not _holds_a_job(fresh)):
        fresh.unlink(missing_ok=True)
        save_bytes(fresh, backup.read_bytes())
        report.salvaged = None
        report.database = f"brought back as it was in the backup of {backup.stem}"
    kept = _put_aside(database, at) if is_there else None
    replace(fresh, database)
    forget_sums(fresh)
    sync_folder(database.parent)
    put_into_use(database)
    if report.salvaged is not None:
        _keep_loose(layout, report.salvaged, at)
        report.database = f"{report.salvaged.brought} rows were brought over into a new one"
    if kept is not None:
        report.database += f"; the damaged one is kept as {kept.name}"


def _holds_a_job(database: Path) -> bool:
    with Store(database) as store:
        return bool(store.value("SELECT COUNT(*) FROM job"))


def _put_aside(database: Path, at: datetime) -> Path:
    """Keep the damaged file under another name; its log goes with it."""
    kept = database.with_name(f"{database.stem}-damaged-{at:%Y%m%dT%H%M%S}.sqlite")
    for end in ("", "-wal", "-shm"):
        with suppress(FileNotFoundError):
            replace(Path(f"{database}{end}"), Path(f"{kept}{end}"))
    forget_sums(database)
    return kept


def _keep_loose(layout: Layout, salvaged: SalvageReport, at: datetime) -> None:
    """Words whose tag or picture was lost are kept as text beside the database."""
    if salvaged.loose:
        path = layout.folder / f"words-without-a-place-{at:%Y%m%dT%H%M%S}.txt"
        save_bytes(path, ("\n".join(salvaged.loose) + "\n").encode("utf-8", "replace"))


def _repair_originals(
    layout: Layout, store: Store, elsewhere: Elsewhere, report: RepairReport, progress: Progress
) -> None:
    wanted = list_originals(store)
    for done, (digest, suffix, size) in enumerate(wanted):
        progress("reading originals", done, len(wanted))
        there = find_stored(layout, digest)
        if there is not None and is_whole(there, digest):
            continue
        name = name_of_original(store, digest) or digest[:12]
        opener = elsewhere.find(digest, size)
        if opener is not None:
            with opener() as source:
                put_original(layout, source, suffix)  # type: ignore[arg-type]
            report.healed.append(name)
            continue
        pinned = ends_pinned_on(store, [picture_id for picture_id, _ in pictures_of_original(store, digest)])
        why = "damaged" if there is not None else "not on the disk"
        costs = f"; pinned on it: {', '.join(end for _, end in pinned)}" if pinned else ""
        tied = tags_of_original(store, digest)
        costs += f"; a document of {', '.join(tied)}" if tied else ""
        report.gone.append((name, f"{why}, and none of the places you named has it{costs}"))
