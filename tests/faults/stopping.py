"""Stop a process for good at the nth point at which something becomes durable: no cleaning up, as when the power fails.

The points are every write and flush of a draft, every fsync, rename, replace, chmod and unlink, and every commit of the
database, before and after it. A process is forked for each, so that what it imported need not be imported again.
"""

from __future__ import annotations

import builtins
import errno
import os
import sqlite3
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

from asfound.archive import atomic
from asfound.errors import AsfoundError

STOPPED = 9
_CALLS = ("fsync", "rename", "replace", "chmod", "unlink")


class Points:
    """Counts the points that are met, and stops the process at one of them."""

    def __init__(self, stop_at: int) -> None:
        self.stop_at, self.met = stop_at, 0

    def meet(self, call: str) -> None:
        """One point, at a call of this name; the process ends here if it is the one."""
        self.met += 1
        if self.met == self.stop_at:
            os._exit(STOPPED)

    def install(self) -> None:
        """Put the counting in front of every such call of this process."""
        for name in _CALLS:
            setattr(os, name, self._counted(getattr(os, name)))
        points = self

        class CountedConnection(sqlite3.Connection):
            def commit(self) -> None:
                points.meet("commit")
                super().commit()
                points.meet("committed")

        connect = sqlite3.connect
        sqlite3.connect = lambda *args, **options: connect(*args, **{"factory": CountedConnection, **options})  # type: ignore[assignment]
        atomic.open = lambda *args: CountedFile(builtins.open(*args), points)  # type: ignore[attr-defined]

    def _counted(self, call: Callable[..., Any]) -> Callable[..., Any]:
        def counted(*args: Any, **options: Any) -> Any:
            self.meet(call.__name__)
            given = call(*args, **options)
            self.meet("done")
            return given

        return counted


class CountedFile:
    """A file whose writes are half done when the process stops at them."""

    def __init__(self, file: Any, points: Points) -> None:
        self._file, self._points = file, points

    def write(self, data: bytes) -> int:
        self._file.write(data[: len(data) // 2])
        self._file.flush()
        self._points.meet("write")
        self._file.write(data[len(data) // 2 :])
        return len(data)

    def flush(self) -> None:
        self._points.meet("flush")
        self._file.flush()

    def __getattr__(self, name: str) -> Any:
        return getattr(self._file, name)


class FailingDisk(Points):
    """A disk that fails at the nth point and at every one after it, as a full one does, or one that was pulled out."""

    def __init__(self, stop_at: int, code: int) -> None:
        super().__init__(stop_at)
        self.code = code

    def meet(self, call: str) -> None:
        self.met += 1
        if not 0 < self.stop_at <= self.met or call in ("done", "committed"):
            return
        if call == "commit":
            error = sqlite3.OperationalError(os.strerror(self.code))
            error.sqlite_errorcode = sqlite3.SQLITE_FULL if self.code == errno.ENOSPC else sqlite3.SQLITE_IOERR
            raise error
        if call != "unlink" or self.code != errno.ENOSPC:  # a full disk can be cleared
            raise OSError(self.code, os.strerror(self.code))


def failed_at(number: int, code: int, work: Callable[[], object], told: Path) -> str:
    """Do `work` in a process of its own whose disk fails from a point on; what it said of that, empty when nothing.

    Anything but one of the program's own errors is raised here.
    """
    child = os.fork()
    if child == 0:
        try:
            FailingDisk(number, code).install()
            work()
            told.write_text("")
            os._exit(0)
        except AsfoundError as error:
            told.write_text(str(error))
            os._exit(0)
        except BaseException:
            told.write_text(traceback.format_exc())
            os._exit(1)
    _, status = os.waitpid(child, 0)
    if os.waitstatus_to_exitcode(status) != 0:
        raise AssertionError(told.read_text())
    return told.read_text()


def stopped_at(number: int, work: Callable[[], object], told: Path) -> bool:
    """Do `work` in a process of its own that stops at a point; whether it stopped there, and did not come to its end.

    `told` gets how many points were met when it came to its end. Errors of the work are raised here.
    """
    child = os.fork()
    if child == 0:
        try:
            points = Points(number)
            points.install()
            work()
            told.write_text(str(points.met))
            os._exit(0)
        except BaseException as error:
            told.write_text(repr(error))
            os._exit(1)
    _, status = os.waitpid(child, 0)
    code = os.waitstatus_to_exitcode(status)
    if code not in (0, STOPPED):
        raise AssertionError(told.read_text())
    return code == STOPPED


def count_points(work: Callable[[], object], told: Path) -> int:
    """How many points a piece of work meets."""
    assert not stopped_at(0, work, told)
    return int(told.read_text())
