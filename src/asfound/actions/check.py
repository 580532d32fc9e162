"""Check that the record is still whole: originals, what was made of them, and the database. Reports only."""

from __future__ import annotations

import json
import time
import zipfile
import zlib
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from asfound.actions.progress import Progress, quiet
from asfound.archive.atomic import save_bytes
from asfound.archive.backups import DATABASES, half_written, is_backup, list_states
from asfound.archive.cache import is_cached_whole, list_cached
from asfound.archive.check import OTHER_BYTES, at_once, check_file, check_originals, check_sizes, list_files, place_of
from asfound.archive.layout import Layout
from asfound.core.fixity.digest import is_digest, new_hasher
from asfound.core.fixity.findings import Finding, FindingKind
from asfound.core.pins.numbering import sort_key
from asfound.errors import ArchiveTrouble, NoArchive
from asfound.store.costs import ends_pinned_on, name_of_original, pictures_of_original
from asfound.store.database import Store
from asfound.store.documents import tags_of_original
from asfound.store.integrity import check_database
from asfound.store.pictures import list_originals

NOTED_EVERY_S = 5.0
REST_SHARE = 0.25
LONGEST_REST_S = 0.1
FROM_BACKUP = "asfound repair --from FOLDER takes it back from a backup or card"
MADE_AGAIN = "nothing is lost: it is made again"


@dataclass(frozen=True, slots=True)
class Damage:
    """One file that is not as it should be.

    Attributes
    ----------
    file : str
        Its place inside the archive.
    what : str
        What is the matter and what it costs, in one line.
    pictures : tuple of (int, str)
        Ids and names of the pictures that it shows, or is needed for.
    tags, ends : tuple of str
        Tags and tag ends pinned on them, as typed: "17", "17b"; of a document the tags that it is tied to.
    is_lost : bool
        Whether it cannot be made again from the rest of the archive.
    """

    file: str
    what: str
    pictures: tuple[tuple[int, str], ...] = ()
    tags: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()
    is_lost: bool = True


@dataclass(slots=True)
class CheckReport:
    """What a check found.

    Attributes
    ----------
    checked : int
        Files looked at, the database among them.
    earlier : int
        How many of them an earlier check that was stopped had read already.
    strays : list of str
        Files below originals/ that no picture names, with the reason; they cost nothing.
    """

    checked: int = 0
    earlier: int = 0
    damaged: list[Damage] = field(default_factory=list)
    strays: list[str] = field(default_factory=list)

    @property
    def is_sound(self) -> bool:
        """Whether nothing is damaged or missing."""
        return not self.damaged


class Rest:
    """Waits a while after each piece of reading, so that screens in use get at the disk too."""

    def __init__(self) -> None:
        self._since = time.monotonic()

    def __call__(self) -> None:
        """Rest for a share of the time since the last rest."""
        time.sleep(min((time.monotonic() - self._since) * REST_SHARE, LONGEST_REST_S))
        self._since = time.monotonic()


def check_archive(
    folder: Path, *, is_full: bool = False, progress: Progress = quiet, pace: Callable[[], None] = at_once
) -> CheckReport:
    """Check the archive in a folder.

    Parameters
    ----------
    is_full : bool
        Read every byte of every file; otherwise sizes, rows against files, and the database. A full check that is
        stopped goes on where it was when it is asked for again.
    pace : callable
        Called after every piece of reading; it may wait.

    Raises
    ------
    NoArchive
        If there is neither a database nor an original in the folder.
    """
    if folder.is_file():
        return _check_file(folder, progress)
    layout = Layout(folder)
    if is_backup(folder):
        return _check_backup(layout, is_full, progress, pace)
    if not layout.database.exists() and not layout.originals.is_dir():
        raise NoArchive(f"{folder}: no archive here. Name its folder with: asfound --archive FOLDER check")
    report = CheckReport()
    _check_database(layout.database, layout.database.name, report)
    _check_files(layout, layout.database, report, is_full, progress, pace)
    return report


def _check_backup(layout: Layout, is_full: bool, progress: Progress, pace: Callable[[], None]) -> CheckReport:
    """A backup: every state of the database, and the originals that the latest needs."""
    report = CheckReport()
    states = list_states(layout.folder)
    for state in states:
        _check_database(state, place_of(layout, state), report)
    for left in half_written(layout.folder):
        report.strays.append(f"{place_of(layout, left)}: left by a backup that was stopped; the next one removes it")
    if not states:
        report.damaged.append(Damage(DATABASES, "this backup was never finished: it holds no database; make it again"))
    report.checked += max(0, len(states) - 1)
    _check_files(layout, states[0] if states else layout.database, report, is_full, progress, pace)
    return report


def _check_file(path: Path, progress: Progress) -> CheckReport:
    """A backup as one file: every original by its digest; the zip's own sums tell of the rest."""
    report = CheckReport()
    try:
        with zipfile.ZipFile(path) as packed:
            members = packed.namelist()
            for done, name in enumerate(members):
                progress("reading the backup", done, len(members))
                if why := _fault_of_member(packed, name):
                    report.damaged.append(Damage(name, why))
        report.checked = len(members)
        if not any(name.startswith(f"{DATABASES}/") for name in members):
            report.damaged.append(Damage(path.name, "no database is in it, so it is no backup"))
    except (OSError, zipfile.BadZipFile) as error:
        report.damaged.append(Damage(path.name, f"it cannot be read as a backup: {error}; make it again"))
    return report


def _fault_of_member(packed: zipfile.ZipFile, name: str) -> str:
    """What is wrong with one file in a zip; empty when nothing is."""
    hasher = new_hasher()
    try:
        with packed.open(name) as file:
            while chunk := file.read(1 << 20):
                hasher.update(chunk)
    except (OSError, zipfile.BadZipFile, EOFError, zlib.error) as error:
        return f"{OTHER_BYTES}: {error}"
    digest = Path(name).name.partition(".")[0]
    return OTHER_BYTES if is_digest(digest) and hasher.hexdigest() != digest else ""


def _check_database(database: Path, place: str, report: CheckReport) -> None:
    for fault in check_database(database) if database.exists() else ():
        report.damaged.append(Damage(place, f"{fault.why}; {_cost(fault.table)}", tags=fault.tags))


def _check_files(
    layout: Layout, database: Path, report: CheckReport, is_full: bool, progress: Progress, pace: Callable[[], None]
) -> None:
    store = _store(database, report)
    try:
        _Check(layout, store, report, progress, pace).run(is_full)
    finally:
        if store is not None:
            store.close()


def _store(database: Path, report: CheckReport) -> Store | None:
    """The database for reading; None when it cannot be used, which is told."""
    report.checked += 1
    why = "there is none beside the originals"
    if database.exists() and database.stat().st_size:
        try:
            store = Store(database, read_only=True)
            list_originals(store)
            return store
        except ArchiveTrouble as error:
            why = str(error)
    if not report.damaged:
        report.damaged.append(Damage(database.name, f"{why}; asfound repair says what can be recovered"))
    return None


def _cost(table: str) -> str:
    return "asfound repair saves what can be read" if table else "asfound repair makes it again"


class _Check:
    """One check under way."""

    def __init__(
        self, layout: Layout, store: Store | None, report: CheckReport, progress: Progress, pace: Callable[[], None]
    ) -> None:
        self.layout, self.store, self.report, self.progress, self.pace = layout, store, report, progress, pace
        self.sizes = {} if store is None else {digest: size for digest, _, size in list_originals(store)}

    def run(self, is_full: bool) -> None:
        """Look at every file."""
        for finding in self._read_all() if is_full else check_sizes(self.layout, self.sizes):
            self._take(finding)
        self.report.checked += len(list_files(self.layout))
        if is_full:
            self._check_cache()

    def _read_all(self) -> Iterator[Finding]:
        """Read every original, from where an earlier full check was stopped."""
        note = _Note(self.layout)
        wanted = self.sizes.keys()
        files = list_files(self.layout)
        for path in files:
            if place_of(self.layout, path) in note.damaged:
                yield from check_file(self.layout, path, wanted, self.pace)
        self.report.earlier = sum(place_of(self.layout, path) <= note.after for path in files)

        def tell(done: int, total: int) -> None:
            self.progress("reading originals", done, total)
            note.reached(place_of(self.layout, files[done - 1]) if done else "")

        try:
            for finding in check_originals(self.layout, wanted, progress=tell, after=note.after, pace=self.pace):
                note.damaged.add(finding.place)
                yield finding
            note.done()
        finally:
            note.save()

    def _check_cache(self) -> None:
        paths = list(list_cached(self.layout))
        for number, path in enumerate(paths):
            self.progress("reading previews and features", number, len(paths))
            if not is_cached_whole(path):
                self._take_cached(path)
            self.pace()
        self.report.checked += len(paths)

    def _take(self, finding: Finding) -> None:
        if finding.kind is FindingKind.ORPHAN:
            if finding.digest and self.store is None:
                return  # No row can be asked.
            self.report.strays.append(f"{finding.place}: {finding.why}")
        else:
            self.report.damaged.append(self._damage(finding.place, finding.digest, f"{finding.why}; {FROM_BACKUP}"))

    def _take_cached(self, path: Path) -> None:
        digest = path.name[:64]
        why = "its bytes are not the ones that were kept" if path.stat().st_size else "it is empty"
        self.report.damaged.append(
            self._damage(place_of(self.layout, path), digest, f"{why}; {MADE_AGAIN}", is_lost=False)
        )

    def _damage(self, place: str, digest: str, what: str, *, is_lost: bool = True) -> Damage:
        if self.store is None:
            return Damage(place, what, is_lost=is_lost)
        shown: list[tuple[int, str]] = []
        pinned: list[tuple[str, str]] = []
        tied: list[str] = []
        name = ""
        with suppress(ArchiveTrouble):  # What a damaged database cannot tell is left out.
            name = name_of_original(self.store, digest)
            shown = pictures_of_original(self.store, digest)
            pinned = ends_pinned_on(self.store, [picture_id for picture_id, _ in shown])
            tied = tags_of_original(self.store, digest)
        tags = sorted(dict.fromkeys([*(tag for tag, _ in pinned), *tied]), key=sort_key)
        ends = tuple(end for _, end in pinned)
        return Damage(place, f"{name}: {what}" if name else what, tuple(shown), tuple(tags), ends, is_lost)


class _Note:
    """How far a full check has read, kept in the cache so that one that was stopped goes on."""

    def __init__(self, layout: Layout) -> None:
        self._path = layout.cache / "check.json"
        self.after, self.damaged = "", set[str]()
        with suppress(OSError, ValueError, TypeError, KeyError):
            kept = json.loads(self._path.read_bytes())
            self.after, self.damaged = str(kept["after"]), {str(place) for place in kept["damaged"]}
        self._at, self._saved_at = self.after, time.monotonic()
        self._is_done = False

    def reached(self, place: str) -> None:
        """Files up to this place have been read."""
        self._at = max(self._at, place)
        if time.monotonic() - self._saved_at > NOTED_EVERY_S:
            self.save()

    def done(self) -> None:
        """The check ran to its end: the next one begins anew."""
        self._is_done = True

    def save(self) -> None:
        """Write it down; where that cannot be, the next check begins anew."""
        self._saved_at = time.monotonic()
        with suppress(OSError):
            if self._is_done:
                self._path.unlink()
            else:
                data = json.dumps({"after": self._at, "damaged": sorted(self.damaged)}).encode()
                save_bytes(self._path, data, durable=False)
