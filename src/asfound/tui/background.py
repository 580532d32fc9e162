"""Slow work behind the screens: files come in, pictures are sorted, the book is printed; the top line tells how far."""

from __future__ import annotations

import shlex
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from asfound.errors import AsfoundError
from asfound.tui.service import DumpProgress
from asfound.tui.viewer import path_for_shell

if TYPE_CHECKING:
    from asfound.tui.app import ArchiveApp

BUSY = "Work is going on already; x on the start screen stops it."


class BackgroundWork:
    """One piece of work at a time, in a thread; it can be stopped, and what was done by then is kept."""

    def __init__(self, app: ArchiveApp) -> None:
        self._app = app
        self._stopped = False
        self.words = ""
        """How far it is; empty while nothing goes on."""

    @property
    def goes_on(self) -> bool:
        return bool(self.words)

    def stop(self) -> None:
        """Stop after the file or picture at hand."""
        self._stopped = True

    def bring_in(self, words: str) -> bool:
        """Add files or folders, as typed, and sort them; whether they are there to be added."""
        if self.goes_on:
            self._app.tell(BUSY)
            return True
        paths = typed_paths(words)
        missing = [str(path) for path in paths if not path.exists()]
        if missing:
            self._app.tell(f"There is nothing at {missing[0]}. Nothing was added.")
            return False
        self._start("adding ...", partial(self._bring_in, paths))
        self._app.tell("Adding. Look about meanwhile; x on the start screen stops it, and what is in stays in.")
        return True

    def sort(self) -> None:
        """Sort what was added and not sorted yet; nothing when work goes on already."""
        if not self.goes_on:
            self._start("sorting ...", self._sort)

    def print_book(self, path: Path, *, replace: bool = False) -> None:
        """Print the book to a file."""
        if self.goes_on:
            self._app.tell(BUSY)
        else:
            self._start("printing ...", partial(self._print_book, path, replace))

    def _start(self, words: str, work: Callable[[], str]) -> None:
        self._stopped = False
        self._show(words)
        self._app.run_worker(partial(self._guard, work), thread=True, group="background")

    def _guard(self, work: Callable[[], str]) -> None:
        try:
            words = work()
        except AsfoundError as error:
            words = str(error)
        except Exception as error:  # the border of the worker: reported, not swallowed
            self._app.log.error(error)
            words = f"The work stopped: {type(error).__name__}: {error}. What was done by then is kept."
        if self._app.is_running:
            self._app.call_from_thread(self._ended, words)

    def _bring_in(self, paths: Sequence[Path]) -> str:
        def progress(state: DumpProgress) -> None:
            self._app.call_from_thread(self._show, f"adding {state.done} of {state.total}")

        state = self._app.service.add_dump(paths, progress=progress, stopped=lambda: self._stopped)
        words = f"Added {state.added}, known already {state.known}, refused {state.refused}."
        if self._stopped:
            return words
        self._app.call_from_thread(self._told_and_shown, f"{words} Now they are compared and sorted.")
        return f"{words} {self._sort()}".strip()

    def _sort(self) -> str:
        return self._app.service.sort_pending(
            progress=lambda words: self._app.call_from_thread(self._show, words), stopped=lambda: self._stopped
        )

    def _print_book(self, path: Path, replace: bool) -> str:
        words = self._app.service.print_book(
            path,
            replace=replace,
            progress=lambda words: self._app.call_from_thread(self._show, words),
            stopped=lambda: self._stopped,
        )
        if not words:
            return "Printing was stopped; nothing was written."
        shown = path_for_shell(path, self._app.size.width - 2)
        return f"The book is printed: {words} o on the first screen opens it.\n{shown}"

    def _show(self, words: str) -> None:
        has_begun = not self.words
        self.words = words
        if self._app.here is None or not self._app.here.is_mounted:
            return  # one that is only being put in front draws its lines when it stands
        if has_begun:
            self._app.here.refresh_lines()
        else:
            self._app.here.refresh_work()

    def _ended(self, words: str) -> None:
        self.words = ""
        self._told_and_shown(words)

    def _told_and_shown(self, words: str) -> None:
        if self._app.here is None:
            return
        if not self._app.here.is_mounted:
            # A key has just put another screen in front, which has nothing to show words on yet.
            self._app.call_later(self._told_and_shown, words)
            return
        if words:
            self._app.here.changed(words)
        else:
            self._app.here.refresh_lines()


def typed_paths(words: str) -> list[Path]:
    """The files and folders somebody typed: one that is there as it stands, else several apart by spaces."""
    whole = Path(words).expanduser()
    if whole.exists():
        return [whole]
    try:
        return [Path(part).expanduser() for part in shlex.split(words)]
    except ValueError:
        return [whole]
