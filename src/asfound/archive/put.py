"""Take an original in: copy and hash it, and give it its digest as name. The same bytes are never stored twice."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from asfound.archive.atomic import Draft, draft_in, make_folder
from asfound.archive.layout import Layout
from asfound.core.fixity.digest import compute_digest, new_hasher
from asfound.errors import ArchiveTrouble, OriginalMissing, Unreadable
from asfound.system import sync_folder

CHUNK_BYTES = 1024 * 1024
GATHERED_BYTES = 64 * CHUNK_BYTES
"""Sources up to this size are read into memory and hashed before anything is written, so that known ones cost no
writing. Larger ones would fill the memory, or have to come over a slow card reader twice."""

CHANGED = "it changed while it was copied; add it again when nothing writes to it"

State = tuple[int, int, int]
"""Size, time of change, and time of any change at all, in bytes and nanoseconds."""


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
    small = isinstance(source, io.BytesIO) or (before is not None and before[0] <= GATHERED_BYTES)
    try:
        return _gather(layout, source, before, suffix) if small else _copy(layout, source, before, suffix)
    except OSError as error:
        raise ArchiveTrouble(
            f"{layout.folder}: the archive cannot be written ({error.strerror}); make room or check the disk."
        ) from error


def find_stored(layout: Layout, digest: str) -> Path | None:
    """The original with a digest, whatever its suffix; None when there is none.

    A copy that went over a memory card may have all its names in capitals.
    """
    for folder in (layout.originals / digest[:2], layout.originals / digest[:2].upper()):
        with suppress(FileNotFoundError, NotADirectoryError):
            names = (name for name in os.listdir(folder) if name.partition(".")[0].lower() == digest)
            if (found := min(names, default=None)) is not None:
                return folder / found
    return None


def find_original(layout: Layout, digest: str, suffix: str = "") -> Path | None:
    """Where an original lies, None when it does not. A known suffix saves looking through the folder."""
    if suffix and (expected := layout.original(digest, suffix)).exists():
        return expected
    return find_stored(layout, digest)


def path_of(layout: Layout, digest: str, suffix: str = "") -> Path:
    """Where an original lies.

    Raises
    ------
    OriginalMissing
        If it is not there.
    """
    found = find_original(layout, digest, suffix)
    if found is None:
        raise OriginalMissing(f"{digest[:12]}: its original is not in {layout.folder}; restore it from a backup.")
    return found


def clean_suffix(name: str) -> str:
    """The suffix of a name if it is short, plain and harmless; else empty."""
    suffix = os.path.splitext(name)[1].lower()
    return suffix if len(suffix) <= 6 and suffix.isascii() and suffix[1:].isalnum() else ""


def _gather(layout: Layout, source: BinaryIO, before: State | None, suffix: str) -> Put:
    """Put a source that fits into memory."""
    data = _whole(source, before)
    _check_unchanged(source, before)
    digest = compute_digest(data)
    stored = find_stored(layout, digest)
    if stored is not None and _holds(stored, data):
        return _already(stored, digest, len(data))
    with draft_in(layout.originals) as draft:
        draft.file.write(data)
        return _publish(layout, draft, digest, len(data), suffix)


def _copy(layout: Layout, source: BinaryIO, before: State | None, suffix: str) -> Put:
    """Put a source of any size, hashing it while it is written."""
    hasher, size = new_hasher(), 0
    with draft_in(layout.originals) as draft:
        for chunk in _chunks(source, before):
            hasher.update(chunk)
            draft.file.write(chunk)
            size += len(chunk)
        _check_unchanged(source, before)
        digest = hasher.hexdigest()
        stored = find_stored(layout, digest)
        if stored is not None and is_whole(stored, digest):
            return _already(stored, digest, size)
        return _publish(layout, draft, digest, size, suffix)


def is_whole(path: Path, digest: str) -> bool:
    """Whether a file still has the bytes that its digest names; one that cannot be read has not."""
    hasher = new_hasher()
    try:
        with open(path, "rb") as file:
            while chunk := file.read(CHUNK_BYTES):
                hasher.update(chunk)
    except OSError:
        return False
    return hasher.hexdigest() == digest


def _holds(path: Path, data: bytes) -> bool:
    """Whether a file has exactly these bytes: a fifth of the cost of its digest, where they are at hand."""
    try:
        with open(path, "rb") as file:
            if os.fstat(file.fileno()).st_size != len(data):
                return False
            places = range(0, len(data), CHUNK_BYTES)
            return all(file.read(CHUNK_BYTES) == data[place : place + CHUNK_BYTES] for place in places)
    except OSError:
        return False


def _already(stored: Path, digest: str, size: int) -> Put:
    # A run that was killed between its rename and its fsync has left the name less than durable.
    sync_folder(stored.parent)
    return Put(digest, stored, size, already=True)


def _publish(layout: Layout, draft: Draft, digest: str, size: int, suffix: str) -> Put:
    # A file of this name and other bytes is damaged: these have just proved to be the right ones.
    target = find_stored(layout, digest) or layout.original(digest, suffix)
    make_folder(target.parent)
    draft.publish(target, read_only=True)
    return Put(digest, target, size, already=False)


def _whole(source: BinaryIO, before: State | None) -> bytes:
    """A small source's bytes, asked for at once: joining pieces would copy every photo once more."""
    data = _read(source, -1 if before is None else before[0] + 1)
    if before is not None and len(data) > before[0]:
        raise Unreadable(CHANGED)
    return data


def _chunks(source: BinaryIO, before: State | None) -> Iterator[bytes]:
    """A source's bytes. One that grows as fast as it is read would otherwise fill the disk."""
    size = 0
    while chunk := _read(source, CHUNK_BYTES):
        size += len(chunk)
        if before is not None and size > before[0]:
            raise Unreadable(CHANGED)
        yield chunk


def _read(source: BinaryIO, most: int) -> bytes:
    try:
        return source.read(most)
    except (OSError, EOFError, ValueError) as error:
        raise Unreadable(f"reading it failed: {error}") from error


def _state(source: BinaryIO) -> State | None:
    """Size, time of change and time of any change; None for what is no file of the system.

    A rewrite that keeps size and time shows only in the third.
    """
    try:
        found = os.fstat(source.fileno())
    except (OSError, AttributeError):
        return None
    return found.st_size, found.st_mtime_ns, found.st_ctime_ns


def _check_unchanged(source: BinaryIO, before: State | None) -> None:
    if _state(source) != before:
        raise Unreadable(CHANGED)
