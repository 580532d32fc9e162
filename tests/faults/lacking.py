"""Systems and disks that lack what Linux has: calls are taken away, or refuse as they do there.

Nothing here is a Windows or a Mac. What is imitated is what their documentation says: folders cannot be opened
(`_open`, EACCES), a file that is read-only is neither replaced nor deleted (MoveFileEx, DeleteFile), `_commit` wants a
file opened for writing (EBADF), a rename does not replace, and several names of `os` and `signal` are not there.
"""

from __future__ import annotations

import errno
import os
import shutil
import signal
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from asfound import system

NOT_ON_WINDOWS = {
    os: ("sysconf", "getsid", "nice", "O_CLOEXEC", "O_NOFOLLOW", "O_NONBLOCK", "geteuid"),
    signal: ("SIGKILL", "SIGXCPU"),
}


def like_windows(patch: pytest.MonkeyPatch) -> None:
    """Take away what Windows lacks."""
    for module, names in NOT_ON_WINDOWS.items():
        for name in names:
            patch.delattr(module, name)
    for module_name in ("fcntl", "termios", "resource", "_posixsubprocess"):
        patch.setitem(__import__("sys").modules, module_name, None)
    patch.setattr(shutil, "_use_fd_functions", False)  # it opens folders where the system can
    patch.setattr(system, "HOLDS_FILES", True)
    patch.setattr(system, "WAITS_S", (0.0, 0.0))
    patch.setattr(os, "open", _instead(os.open, _no_folders))
    patch.setattr(os, "replace", _instead(os.replace, _nothing_read_only))
    patch.setattr(os, "rename", _instead(os.rename, _nothing_there))
    patch.setattr(os, "unlink", _instead(os.unlink, _nothing_read_only))
    patch.setattr(os, "fsync", _instead(os.fsync, _written_to))


def like_memory_card(patch: pytest.MonkeyPatch) -> None:
    """FAT: no permissions, and folders that cannot be synced."""

    def refuse(*_: Any, **__: Any) -> None:
        raise PermissionError(errno.EPERM, "Operation not permitted")

    patch.setattr(os, "chmod", refuse)
    patch.setattr(os, "fsync", _instead(os.fsync, _no_folder_synced))


def _instead(call: Callable[..., Any], check: Callable[..., None]) -> Callable[..., Any]:
    def checked(*args: Any, **options: Any) -> Any:
        check(*args)
        return call(*args, **options)

    return checked


def _no_folders(path: Any, *_: Any) -> None:
    if os.path.isdir(path):
        raise PermissionError(errno.EACCES, "Permission denied", path)


def _nothing_read_only(*paths: Any) -> None:
    target = Path(os.fsdecode(paths[-1]))
    if target.exists() and not target.stat().st_mode & stat.S_IWUSR:
        raise PermissionError(errno.EACCES, "Access is denied", str(target))


def _nothing_there(source: Any, target: Any) -> None:
    if os.path.exists(target):
        raise FileExistsError(errno.EEXIST, "Cannot create a file when that file already exists", target)


def _written_to(handle: int) -> None:
    with open(f"/proc/self/fdinfo/{handle}", encoding="ascii") as said:
        flags = int(next(line for line in said if line.startswith("flags")).split()[1], 8)
    if flags & os.O_ACCMODE == os.O_RDONLY:
        raise OSError(errno.EBADF, "Bad file descriptor")


def _no_folder_synced(handle: int) -> None:
    if stat.S_ISDIR(os.fstat(handle).st_mode):
        raise OSError(errno.EINVAL, "Invalid argument")
