"""Slow work behind the screens: files come in, pictures are sorted, the book is printed, a backup is made."""

from __future__ import annotations

import os
import shlex
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import App
from textual.message import Message

from asfound.actions import book_path, sort
from asfound.actions.archive import SharedArchive
from asfound.actions.sort_report import SortReport
from asfound.actions.viewing import path_for_shell
from asfound.errors import AsfoundError
from asfound.tui.words import count

if TYPE_CHECKING:
    from asfound.actions.add import DumpReport

BUSY = "Other work is still running; x on the first screen stops it."


class WorkMoved(Message):
    """The work has gone on; how far it is can be read in `BackgroundWork.words`."""

    def __init__(self, *, has_begun: bool) -> None:
        self.has_begun = has_begun
        super().__init__()


class WorkTold(Message):
    """The work has come to something that changes what the screens show; `words` say what, if there is more to say."""

    def __init__(self, words: str) -> None:
        self.words = words
        super().__init__()


class _Stopped(Exception):
    """A person stopped the work at hand."""


class BackgroundWork:
    """One piece of work at a time, in a thread; it can be stopped, and what was done by then is kept."""

    def __init__(self, app: App[None], shared: SharedArchive) -> None:
        self._app = app
        self._shared = shared
        self._stopped = False
        self.words = ""
        """How far it is; empty while nothing goes on."""

    @property
    def goes_on(self) -> bool:
        return bool(self.words)

    def stop(self) -> None:
        """Stop after the file or picture at hand."""
        self._stopped = True

    def bring_in(self, words: str) -> str:
        """Add files or folders, as typed, and sort them; why not, in words, where that cannot be."""
        if self.goes_on:
            return BUSY
        paths = typed_paths(words)
        missing = [str(path) for path in paths if not path.exists()]
        if missing:
            return f"{missing[0]} does not exist. Nothing was added."
        self._start("adding ...", partial(self._bring_in, paths))
        return ""

    def sort(self) -> None:
        """Sort what was added and not sorted yet; nothing when work goes on already."""
        if not self.goes_on:
            self._start("sorting ...", self._sort)

    def print_book(self, path: Path, *, replace: bool = False) -> None:
        """Print the book to a file; nothing when work goes on already."""
        if not self.goes_on:
            self._start("printing ...", partial(self._print_book, path, replace))

    def back_up(self, place: Path) -> None:
        """Back the archive up; nothing when work goes on already."""
        if not self.goes_on:
            self._start("backing up ...", partial(self._back_up, place))

    def _start(self, words: str, work: Callable[[], str]) -> None:
        self._stopped = False
        self._moved(words)
        self._app.run_worker(partial(self._guard, work), thread=True, group="background")

    def _guard(self, work: Callable[[], str]) -> None:
        try:
            words = work()
        except AsfoundError as error:
            words = str(error)
        except Exception as error:  # the border of the worker: reported, not swallowed
            self._app.log.error(error)
            words = f"The work failed: {type(error).__name__}: {error}. What was done by then is kept."
        self.words = ""
        self._app.post_message(WorkTold(words))

    def _bring_in(self, paths: Sequence[Path]) -> str:
        from asfound.actions.add import add_dump

        def watch(file: str, report: DumpReport) -> None:
            self._moved(f"adding {report.done} of {report.total}")

        report = add_dump(self._shared.here, paths, watch=watch, stopped=lambda: self._stopped)
        added, known, refused = len(report.added), len(report.known), len(report.refused)
        words = f"Added {added}, known already {known}, refused {refused}."
        if report.documents:
            named = ", ".join(one.name for one in report.documents[:3]) + (" ..." if len(report.documents) > 3 else "")
            words += f" Not photos: {named}; keep them with asfound add --documents FOLDER."
        if self._stopped:
            return words
        self._app.post_message(WorkTold(f"{words} Now sorting them."))
        return f"{words} {self._sort()}".strip()

    def _sort(self) -> str:
        try:
            report = sort.finish_pending(self._shared.here, self._progress)
        except _Stopped:
            return "Sorting was stopped. It goes on at the next start."
        if report == SortReport():
            return ""
        return f"Sorted: {count(report.new_spots, 'new spot')}, {count(report.new_pairs, 'new pair')}. i looks at them."

    def _print_book(self, path: Path, replace: bool) -> str:
        from asfound.actions.book import write_book
        from asfound.actions.pdf_file import check_target

        archive = self._shared.here
        check_target(path, "book", replace=replace)
        try:
            sort.finish_pending(archive, self._progress)
            made = write_book(archive, path.resolve(), replace=replace, progress=self._progress)
        except _Stopped:
            return "Printing was stopped; nothing was written."
        book_path.remember_path(archive, made.path)
        lacking = f" {count(len(made.missing), 'picture')} could not be read and are not in it." if made.missing else ""
        told = f"{count(made.pages, 'page')} of A4, {made.size_bytes / 1e6:.1f} MB.{lacking}"
        shown = path_for_shell(path, self._app.size.width - 2)
        return f"The book is printed: {told} o on the first screen opens it.\n{shown}"

    def _back_up(self, place: Path) -> str:
        from asfound.actions.backup import back_up
        from asfound.actions.check import Rest

        try:
            report = back_up(self._shared.here, place, progress=self._progress, pace=Rest())
        except _Stopped:
            return "The backup was stopped. Backups made before are as they were; c begins again and copies the rest."
        left_out = f" Left out: {report.left_out[0][0]}, {report.left_out[0][1]}" if report.left_out else ""
        more = f", and {len(report.left_out) - 1} more" if len(report.left_out) > 1 else ""
        repair = f"{more}; repair it: asfound repair" if left_out else ""
        same = (
            " It is on the same disk as the archive, and one fault may cost you both: use a stick."
            * report.is_on_same_disk
        )
        told = f"{count(report.copied, 'original')} copied, {report.known} were there."
        told += " The earlier state in it was replaced; a folder keeps several." * bool(report.replaced)
        return f"Backed up to {report.place}: {told}{left_out}{repair}{same}"

    def _progress(self, what: str, done: int, total: int) -> None:
        """Tell how far the work is; here it stops when it was asked to."""
        if self._stopped:
            raise _Stopped
        self._moved(f"{what} {done} of {total}" if total else what)

    def _moved(self, words: str) -> None:
        has_begun, self.words = not self.words, words
        self._app.post_message(WorkMoved(has_begun=has_begun))


def typed_paths(words: str) -> list[Path]:
    """The files and folders somebody typed: one that is there as it stands, else several apart by spaces."""
    whole = Path(words).expanduser()
    if whole.exists():
        return [whole]
    try:
        return [Path(part).expanduser() for part in shlex.split(words, posix=os.sep == "/")]
    except ValueError:
        return [whole]
