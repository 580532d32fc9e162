"""Take an original in: copy and hash it, and give it its digest as name. The same bytes are never stored twice."""

from __future__ import annotations

import io
import os
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from asfound.archive.atomic import draft_in, make_folder, sync_folder
from asfound.archive.layout import Layout
from asfound.core.fixity.digest import new_hasher
from asfound.errors import ArchiveTrouble, Unreadable

CHUNK_BYTES = 1024 * 1024
HASHED_FIRST_BYTES = 64 * CHUNK_BYTES
"""Sources up to this size are hashed before anything is written, so that known ones cost no writing. Larger ones would
have to come over a slow card reader twice."""


@dataclass(frozen=True, slots=True)
class Put:
    """An original that is durably in the archive.

    Attributes
    ----------
    digest_sha256 : str
    path : Path
    bytes : int
        Its size.
    already : bool
        Whether it was there before.
    """

    digest_sha256: str
    path: Path
    bytes: int
    already: bool


def put_original(layout: Layout, source: BinaryIO, suffix: str) -> Put:
    """Copy a source into the archive, byte for byte, and make it durable.

    Parameters
    ----------
    source : binary file
        At its beginning. A file of the system is looked at before and after, and refused if it changed meanwhile.
    suffix : str
        Of the stored name, with the dot; kept from the name on the card so that viewers know what to do.

    Raises
    ------
    Unreadable
        If the source cannot be read or changed while it was copied. Nothing of it is left.
    ArchiveTrouble
        If the archive cannot be written.
    """
    before = _state(source)
    if (before is not None and before[0] <= HASHED_FIRST_BYTES) or isinstance(source, io.BytesIO):
        digest, size = _hash(source)
        stored = find_stored(layout, digest)
        if stored is not None and stored.stat().st_size == size:
            _check_unchanged(source, before)
            # A run that was killed between its rename and its fsync has left the name less than durable.
            sync_folder(stored.parent)
            return Put(digest, stored, size, already=True)
        source.seek(0)
    try:
        return _copy(layout, source, before, suffix)
    except OSError as error:
        raise ArchiveTrouble(
            f"{layout.folder}: the archive cannot be written ({error.strerror}); make room or check the disk."
        ) from error


def find_stored(layout: Layout, digest: str) -> Path | None:
    """The original with a digest, whatever its suffix; None when there is none."""
    try:
        names = os.listdir(layout.originals / digest[:2])
    except FileNotFoundError:
        return None
    found = min((name for name in names if name.partition(".")[0] == digest), default=None)
    return None if found is None else layout.originals / digest[:2] / found


def clean_suffix(name: str) -> str:
    """The suffix of a name if it is short, plain and harmless; else empty."""
    suffix = os.path.splitext(name)[1].lower()
    return suffix if len(suffix) <= 6 and suffix.isascii() and suffix[1:].isalnum() else ""


def _copy(layout: Layout, source: BinaryIO, before: tuple[int, int, int] | None, suffix: str) -> Put:
    hasher, size = new_hasher(), 0
    with draft_in(layout.originals) as draft:
        while chunk := _read(source):
            hasher.update(chunk)
            draft.file.write(chunk)
            size += len(chunk)
        _check_unchanged(source, before)
        digest = hasher.hexdigest()
        stored = find_stored(layout, digest)
        if stored is not None and stored.stat().st_size == size:
            sync_folder(stored.parent)
            return Put(digest, stored, size, already=True)
        # A file of this name and another size is damaged: these bytes have just proved to be the right ones.
        target = stored or layout.original(digest, suffix)
        make_folder(target.parent)
        draft.publish(target, read_only=True)
    return Put(digest, target, size, already=False)


def _hash(source: BinaryIO) -> tuple[str, int]:
    hasher, size = new_hasher(), 0
    while chunk := _read(source):
        hasher.update(chunk)
        size += len(chunk)
    return hasher.hexdigest(), size


def _read(source: BinaryIO) -> bytes:
    try:
        return source.read(CHUNK_BYTES)
    except (OSError, EOFError, ValueError) as error:
        raise Unreadable(f"reading it failed: {error}") from error


def _state(source: BinaryIO) -> tuple[int, int, int] | None:
    """Size, time of change and time of any change; None for what is no file of the system.

    A rewrite that keeps size and time shows only in the third.
    """
    try:
        found = os.fstat(source.fileno())
    except (OSError, AttributeError):
        return None
    return found.st_size, found.st_mtime_ns, found.st_ctime_ns


def _check_unchanged(source: BinaryIO, before: tuple[int, int, int] | None) -> None:
    if _state(source) != before:
        raise Unreadable("it changed while it was copied; add it again when nothing writes to it")
