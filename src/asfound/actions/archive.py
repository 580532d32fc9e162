"""Open an archive: a plain folder with originals, one database and a cache that can be deleted."""

from __future__ import annotations

import os
import platform
import threading
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from functools import wraps
from pathlib import Path
from typing import TypeVar, cast

from platformdirs import user_data_path

from asfound.actions.read_proposals import weigh_readings
from asfound.archive.layout import Layout, holds_originals, make_layout
from asfound.errors import ArchiveTrouble, NoArchive
from asfound.model.pictures import Job
from asfound.model.steps import Writer
from asfound.store.database import Store
from asfound.store.jobs import current_job, get_job
from asfound.store.readings import has_readings
from asfound.system import session_number

VARIABLE = "ASFOUND_ARCHIVE"
T = TypeVar("T")


def default_folder() -> Path:
    """The archive's folder when none is named: the environment's, else the system's place for a person's data."""
    named = os.environ.get(VARIABLE)
    return Path(named).expanduser() if named else user_data_path("asfound", appauthor=False) / "archive"


def local_now() -> datetime:
    """The time with its offset, to the second."""
    return datetime.now().astimezone().replace(microsecond=0)


def own_terminal(now: datetime) -> Writer:
    """Whoever types commands in this terminal: one sitting, though each command is a program of its own."""
    return Writer(f"terminal {session_number()} {_machine()}", "a command in another terminal")


def own_screens(now: datetime) -> Writer:
    """The screens, from opening them to leaving."""
    return Writer(f"screens {os.getpid()} {now.isoformat()} {_machine()}", f"the screens, opened at {now:%H:%M}")


def _machine() -> str:
    """Tells machines apart without naming them in the record."""
    return f"{zlib.crc32(platform.node().encode('utf-8', 'replace')):08x}"


class Archive:
    """An open archive and the job that is meant.

    Each thread opens its own, with `reopen`. Close it when done; `with` does.
    """

    def __init__(
        self,
        folder: Path,
        store: Store,
        *,
        now: Callable[[], datetime],
        job_id: int | None,
        writer: Writer,
    ) -> None:
        self.writer = writer
        self.folder = folder
        self.layout = Layout(folder)
        self.store = store
        self.now = now
        self._job_id = job_id
        self._read: dict[Callable[[Archive], object], tuple[object, object]] = {}

    @property
    def job(self) -> Job:
        """The job that is meant; `NotFound` when there is none yet."""
        return current_job(self.store) if self._job_id is None else get_job(self.store, self._job_id)

    @contextmanager
    def step(self, words: str, *, kind: str = "") -> Iterator[None]:
        """One undoable step of the person, described by `words`; `kind` is "import" for a table brought in.

        What follows a person's words is worked out anew when the outermost one is done.
        """
        with self.store.step(words, self.now(), by=self.writer, kind=kind):
            yield
        self.follow_words()

    def follow_words(self) -> None:
        """Let what is searched, and proposals that were read, follow what a person has written, when it is kept."""
        if self.store.in_transaction:
            return
        from asfound.actions.search_texts import refresh  # whoever only reads does without

        # The word stands; these follow with the next one where another program holds the archive now.
        with suppress(ArchiveTrouble):
            refresh(self.store)
        with suppress(ArchiveTrouble):
            if has_readings(self.store):
                weigh_readings(self.store, self.job.job_id)

    def once(self, read: Callable[[Archive], T]) -> T:
        """What `read` gives of this archive, worked out anew only after something was written; see `kept`."""
        stamp = (*self.store.stamp(), self._job_id)
        known = self._read.get(read)
        if known is None or known[0] != stamp:
            known = self._read[read] = stamp, read(self)
        return cast(T, known[1])

    def reopen(self) -> Archive:
        """A second `Archive` over this folder with its own connection, for another thread."""
        return Archive(self.folder, Store(self.layout.database), now=self.now, job_id=self._job_id, writer=self.writer)

    def close(self) -> None:
        """Close the database."""
        self.store.close()

    def __enter__(self) -> Archive:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def kept(read: Callable[[Archive], T]) -> Callable[[Archive], T]:
    """Keep what a function reads of an archive until anything is written to it, by this program or another.

    What it gives is shared by all who ask: nobody may change it, and it may hang on nothing but the archive.
    """

    @wraps(read)
    def known(archive: Archive) -> T:
        return archive.once(read)

    return known


class SharedArchive:
    """One archive for several threads: each gets a connection of its own."""

    def __init__(self, archive: Archive) -> None:
        self._own_thread = threading.get_ident()
        self._archive = archive
        self._others = threading.local()

    @property
    def here(self) -> Archive:
        """The archive over the connection of the calling thread."""
        if threading.get_ident() == self._own_thread:
            return self._archive
        if not hasattr(self._others, "archive"):
            self._others.archive = self._archive.reopen()
        return cast(Archive, self._others.archive)


def open_archive(
    folder: Path | None = None,
    *,
    create: bool = False,
    now: Callable[[], datetime] = local_now,
    job_id: int | None = None,
    writer: Callable[[datetime], Writer] = own_terminal,
) -> Archive:
    """Open the archive in a folder.

    Parameters
    ----------
    writer : callable
        Gives who writes from now on.

    Raises
    ------
    NoArchive
        If there is none and `create` is false.
    ArchiveTrouble
        If its database cannot be used.
    """
    folder = (folder or default_folder()).expanduser().absolute()
    layout = Layout(folder)
    if (not layout.database.exists() or not layout.database.stat().st_size) and holds_originals(layout):
        raise ArchiveTrouble(
            f"{layout.database}: the record is lost, and the photos beside it are still there. Bring it back with: "
            f"asfound --archive {folder} repair --from BACKUP"
        )
    if not layout.database.exists():
        if not create:
            raise NoArchive(f'{folder}: no archive here. Start one with: asfound job new "name of the machine"')
        make_layout(folder)
    return Archive(folder, Store(layout.database), now=now, job_id=job_id, writer=writer(now()))
