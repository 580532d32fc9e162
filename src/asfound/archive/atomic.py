"""Write a file so that it is either wholly there or not at all, even if the power fails.

Write under a temporary name in the target's folder, flush, fsync, rename, fsync the folder. A rename without the first
fsync may survive a power cut with an empty file; without the second it may not survive at all.
"""

from __future__ import annotations

import os
import secrets
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from asfound.system import make_read_only, remove, replace, sync_folder

TEMPORARY = ".part-"
STALE_AFTER_S = 3600.0


class Draft:
    """A file in the making.

    Attributes
    ----------
    file : binary file
        Write here.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._path = folder / f"{TEMPORARY}{secrets.token_hex(8)}"
        self.file: BinaryIO = open(self._path, "xb")

    def publish(self, target: Path, *, read_only: bool = False, durable: bool = True) -> None:
        """Make the draft appear as `target`, in the draft's own folder or another one of the same disk."""
        self.file.flush()
        if read_only:
            make_read_only(self._path)
        if durable:
            os.fsync(self.file.fileno())
        self.file.close()
        replace(self._path, target)
        if durable:
            sync_folder(target.parent)

    def discard(self) -> None:
        """Remove whatever is left of the draft; nothing if it was published."""
        self.file.close()
        remove(self._path)


@contextmanager
def draft_in(folder: Path) -> Iterator[Draft]:
    """A draft in a folder, removed at the end unless it was published."""
    draft = Draft(folder)
    try:
        yield draft
    finally:
        draft.discard()


def save_bytes(target: Path, data: bytes, *, durable: bool = True) -> None:
    """Write or replace a small file. Without `durable` it is whole or absent, but a power cut may take it."""
    with draft_in(target.parent) as draft:
        draft.file.write(data)
        draft.publish(target, durable=durable)


def make_folder(folder: Path) -> None:
    """Make a folder inside an existing one, durably."""
    try:
        os.mkdir(folder)
    except FileExistsError:
        return
    sync_folder(folder.parent)


def sweep_drafts(folder: Path, *, older_than_s: float = STALE_AFTER_S) -> int:
    """Remove drafts that a killed run left below a folder; returns how many. Young ones may belong to another run."""
    swept, latest = 0, time.time() - older_than_s
    for place, _, names in os.walk(folder):
        for name in names:
            if not name.startswith(TEMPORARY):
                continue
            path = Path(place, name)
            with suppress(FileNotFoundError):
                found = path.lstat()
                if stat.S_ISREG(found.st_mode) and found.st_mtime <= latest:
                    remove(path)
                    swept += 1
    return swept
