"""What systems and disks do differently, in one place: Linux, macOS, Windows, memory cards, network shares.

Everything here does what can be done and says so; nobody above asks which system it is.
"""

from __future__ import annotations

import errno
import os
import re
import signal
import stat
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TextIO

Place = str | bytes | os.PathLike[str]

HOLDS_FILES = os.name == "nt"
"""Whether a file that is read-only, or open in another program, can be neither replaced nor removed."""
WAITS_S = (0.02, 0.05, 0.1, 0.2, 0.4, 0.8)
"""Pauses before a held file is tried again: a virus scanner lets go of a new file after a moment."""
READ_ONLY = 0o444
OPEN_FLAGS = os.O_RDONLY
for _flag in ("O_BINARY", "O_CLOEXEC", "O_NOFOLLOW", "O_NONBLOCK"):
    OPEN_FLAGS |= getattr(os, _flag, 0)
"""To open a file that others name: no link is followed, no pipe is waited for, where the system knows such."""

_CANNOT_SYNC = {errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EBADF, errno.EACCES, errno.EPERM, errno.ENOSYS}
_RESERVED = re.compile(r"(con|prn|aux|nul|com\d|lpt\d)(\..*)?", re.IGNORECASE)


# Files


def sync_file(path: Path) -> None:
    """Have a file that is written and closed reach the disk. Windows does that for one opened to be written only."""
    with open(path, "r+b") as file:
        os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Have a folder's names reach the disk, where folders can be opened and their disk can do it.

    Raises
    ------
    OSError
        If the folder is not there, or the disk fails.
    """
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:  # Windows opens no folders, and keeps their names in a journal of its own
        return
    try:
        os.fsync(handle)
    except OSError as error:
        if error.errno not in _CANNOT_SYNC:
            raise
    finally:
        os.close(handle)


def make_read_only(path: Path) -> None:
    """Let nobody write to a file, where the disk knows permissions."""
    with suppress(PermissionError, NotImplementedError):
        os.chmod(path, READ_ONLY)


def replace(source: Path, target: Path) -> None:
    """Give a file its name at once, whether or not there is one of that name, read-only or held by another program."""
    _insist(lambda: os.replace(source, target), target)


def remove(path: Path) -> None:
    """Remove a file, read-only or not; nothing when it is not there."""
    with suppress(FileNotFoundError):
        _insist(lambda: os.unlink(path), path)


def _insist(work: Callable[[], None], path: Path) -> None:
    """Do it, again after a while where a file may be held."""
    for wait_s in WAITS_S if HOLDS_FILES else ():
        try:
            return work()
        except PermissionError:
            with suppress(OSError):
                os.chmod(path, stat.S_IREAD | stat.S_IWRITE)
            time.sleep(wait_s)
    work()


def file_name(words: str) -> str:
    """Words as a file's name that every system takes: small letters, digits and hyphens; empty when none are left."""
    name = re.sub(r"[\W_]+", "-", words.casefold()).strip("-")[:80]
    return f"{name}-" if _RESERVED.fullmatch(name) else name


def is_below(raw: bytes, folder: bytes) -> bool:
    """Whether a path is a folder or lies in it; both whole, links followed. Where case means nothing, it is ignored."""
    path, above = os.path.normcase(raw), os.path.normcase(folder)
    return path == above or path.startswith(above.rstrip(os.fsencode(os.sep)) + os.fsencode(os.sep))


# Processes


def session_number() -> int:
    """A number that the programs of one terminal have in common."""
    if sys.platform != "win32":
        with suppress(AttributeError):
            return os.getsid(0)
    return os.getppid()


def lower_priority(by: int) -> None:
    """Let others at the processor first, where the system can."""
    if sys.platform != "win32":
        with suppress(OSError, AttributeError):
            os.nice(by)


def ran_out_of_time(code: int | None) -> bool:
    """Whether a process ended because its processor time was used up."""
    return code is not None and code == -getattr(signal, "SIGXCPU", 0) != 0


def was_killed(code: int | None) -> bool:
    """Whether the system ended a process without a word, as it does for want of memory."""
    return code is not None and code == -getattr(signal, "SIGKILL", 0) != 0


def start_tracker() -> None:
    """Start what cleans up after processes, where there is such a thing."""
    with suppress(ImportError):
        from multiprocessing import resource_tracker

        resource_tracker.ensure_running()


def limit_memory(more_bytes: int) -> None:
    """Bound this process to so much more memory than it has, and let it leave no picture of its memory behind.

    On Linux; elsewhere as far as the system can, which on Windows is not at all.
    """
    if sys.platform != "win32":
        with suppress(ImportError, OSError, ValueError, AttributeError):
            import resource

            resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))
            with open("/proc/self/statm", encoding="ascii") as file:
                present = int(file.read().split()[0]) * os.sysconf("SC_PAGE_SIZE")
            _, hard = resource.getrlimit(resource.RLIMIT_AS)
            resource.setrlimit(resource.RLIMIT_AS, (present + more_bytes, hard))


def limit_cpu(more_s: int) -> None:
    """Give this process so many more seconds of processor time, where the system can count them."""
    if sys.platform != "win32":
        with suppress(ImportError, OSError, ValueError, AttributeError):
            import resource

            used = resource.getrusage(resource.RUSAGE_SELF)
            most = int(used.ru_utime + used.ru_stime) + more_s
            resource.setrlimit(resource.RLIMIT_CPU, (most, resource.getrlimit(resource.RLIMIT_CPU)[1]))


# Terminals


def silence_libraries() -> Callable[[], None]:
    """Lead nowhere what libraries write to the numbered error stream: decoders do, over whatever stands there.

    `sys.__stderr__` goes on to write to the terminal. Gives what puts the stream back.
    """
    number = 2
    try:
        kept, nowhere = os.dup(number), os.open(os.devnull, os.O_WRONLY)
    except OSError:  # it was closed
        return lambda: None
    before = sys.__stderr__
    os.dup2(nowhere, number)
    os.close(nowhere)
    stream = open(kept, "w", encoding=before.encoding if before else "utf-8", errors="replace", buffering=1)
    sys.__stderr__ = stream  # type: ignore[misc]

    def put_back() -> None:
        sys.__stderr__ = before  # type: ignore[misc]
        with suppress(OSError):  # the terminal may be gone
            os.dup2(kept, number)
        with suppress(OSError):
            stream.close()

    return put_back


def terminal_pixels(stream: TextIO) -> bytes | None:
    """Rows, columns, width and height of a terminal as four shorts, pixels where it knows them; None where unknown."""
    if sys.platform != "win32":
        with suppress(ImportError, OSError, ValueError):
            import fcntl
            import termios

            return fcntl.ioctl(stream.fileno(), termios.TIOCGWINSZ, b"\0" * 8)
    return None


def keep_keys_unseen() -> Callable[[], None] | None:
    """Let typed keys wait unseen; gives what puts the terminal back, None where that is not possible."""
    if sys.platform != "win32":
        with suppress(ImportError):
            import termios
            import tty

            try:
                number = sys.__stdin__.fileno() if sys.__stdin__ else -1
                before = termios.tcgetattr(number)
                tty.setcbreak(number, termios.TCSANOW)
            except (OSError, ValueError, termios.error):
                return None
            return lambda: termios.tcsetattr(number, termios.TCSADRAIN, before)
    return None
