"""Where a PDF is put: refused before the work is done, written whole or not at all."""

from __future__ import annotations

import errno
from pathlib import Path

from asfound.archive.atomic import draft_in
from asfound.errors import Misused


def check_target(path: Path, command: str, *, replace: bool) -> None:
    """Refuse before the work is done what would fail after it; `command` is the one to say again."""
    if path.is_dir():
        raise Misused(f"{path} is a folder; name a file in it: asfound {command} {path / f'{command}.pdf'}")
    if not path.parent.is_dir():
        raise Misused(f"{path}: there is no folder {path.parent}; make it first, or name another.")
    if path.exists() and not replace:
        raise Misused(f"{path} is there already; name another file, or write over it with --replace.")


def save_pdf(path: Path, pdf: bytes) -> None:
    """Write beside, then rename: there is never half a file.

    Raises
    ------
    Misused
        If the disk is full or the folder cannot be written to.
    """
    try:
        with draft_in(path.parent) as draft:
            draft.file.write(pdf)
            draft.publish(path)
    except OSError as error:
        if error.errno in (errno.ENOSPC, errno.EDQUOT):
            raise Misused(f"{path}: the disk is full, and nothing was written; free {len(pdf)} bytes.") from error
        raise Misused(f"{path} cannot be written ({error.strerror or error}); name another folder.") from error
