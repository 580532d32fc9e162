"""Walk over what a person hands in: folders, files and zips of a phone or card. The source is only ever read.

Links are not followed, pipes and devices are not opened, names are kept as the bytes they are. Everything met is told
of: a file that can be taken, one that was passed over, or one that was refused with the reason.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from typing import BinaryIO

from asfound.errors import NotMedia, Refused, Unreadable
from asfound.media.documents import document_kind
from asfound.media.format import PREFIX_BYTES
from asfound.media.limits import DEFAULT_LIMITS, Limits
from asfound.media.met import (
    ZIP_STARTS,
    FoundDocument,
    FoundFile,
    Met,
    NotTaken,
    PassedOver,
    classify_refusal,
    is_hidden,
    printable,
)
from asfound.media.opening import identify_prefix, open_regular
from asfound.system import is_below


def walk(
    places: Iterable[str | bytes | os.PathLike[str]],
    *,
    limits: Limits = DEFAULT_LIMITS,
    avoid: str | os.PathLike[str] | None = None,
) -> Iterator[Met]:
    """Everything below the places a person named, folders in order of raw name.

    A place that is itself a link is followed, for the person named it; links inside are passed over.

    `avoid` is a folder that is passed over whole, wherever it is met: the archive itself must not be fed to itself.
    """
    shunned = None if avoid is None else os.path.realpath(os.fsencode(avoid))
    for place in places:
        raw = os.fsencode(place)
        try:
            raw = os.path.realpath(raw, strict=True)
            mode = os.lstat(raw).st_mode
        except (OSError, ValueError) as error:
            yield NotTaken(printable(raw), printable(os.path.basename(raw)), _reason(error))
            continue
        if shunned is not None and is_below(raw, shunned):
            yield PassedOver(printable(raw), "in the archive already")
        else:
            yield from _folder(raw, limits, shunned) if stat.S_ISDIR(mode) else _file(raw, limits, named=True)


def _folder(raw: bytes, limits: Limits, shunned: bytes | None) -> Iterator[Met]:
    if shunned is not None and is_below(raw, shunned):
        yield PassedOver(printable(raw), "in the archive already")
        return
    try:
        with os.scandir(raw) as entries:
            inside = sorted(entries, key=lambda entry: entry.name)
    except OSError as error:
        yield NotTaken(printable(raw), printable(os.path.basename(raw)), _reason(error))
        return
    for entry in inside:
        if is_hidden(entry.name):
            yield PassedOver(printable(entry.path), "hidden")
        elif entry.is_symlink():
            yield PassedOver(printable(entry.path), "a link")
        elif entry.is_dir(follow_symlinks=False):
            yield from _folder(entry.path, limits, shunned)
        elif entry.is_file(follow_symlinks=False):
            yield from _file(entry.path, limits, named=False)
        else:
            yield PassedOver(printable(entry.path), "no regular file")


def _file(raw: bytes, limits: Limits, *, named: bool) -> Iterator[Met]:
    where, base, prefix = printable(raw), os.path.basename(raw), b""
    try:
        with open_regular(raw) as file:
            found = os.fstat(file.fileno())
            prefix = _prefix(file)
        written = document_kind(b"", printable(base)) if prefix.startswith(ZIP_STARTS) else None
        if written is not None:
            # Written texts and sheets are zips inside; nobody means the pictures in them.
            yield FoundDocument(where, printable(base), written, lambda: open_regular(raw))
            return
        if prefix.startswith(ZIP_STARTS):
            # Loaded here only: most dumps hold no zip.
            from asfound.media.zips import walk_zip

            yield from walk_zip(raw, limits)
            return
        chosen = identify_prefix(prefix, printable(base))
    except Refused as refusal:
        kind = document_kind(prefix, printable(base)) if isinstance(refusal, NotMedia) and prefix else None
        if kind is not None:
            yield FoundDocument(where, printable(base), kind, lambda: open_regular(raw))
        else:
            yield classify_refusal(where, printable(base), refusal, named=named)
        return
    modified = _moment(found.st_mtime)
    yield FoundFile(where, printable(base), base, found.st_size, modified, chosen, lambda: open_regular(raw))


def _prefix(file: BinaryIO) -> bytes:
    try:
        return file.read(PREFIX_BYTES)
    except OSError as error:
        raise Unreadable(f"reading it failed: {error.strerror}") from error


def _moment(seconds: float) -> datetime:
    try:
        return datetime.fromtimestamp(seconds, UTC)
    except (OverflowError, ValueError, OSError):
        return datetime.fromtimestamp(0, UTC)


def _reason(error: OSError | ValueError) -> str:
    told = error.strerror if isinstance(error, OSError) else str(error)
    return f"the system will not open it: {told}"
