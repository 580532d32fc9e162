"""Walk over what a person hands in: folders, files and zips of a phone or card. The source is only ever read.

Links are not followed, pipes and devices are not opened, names are kept as the bytes they are. Everything met is told
of: a file that can be taken, one that was passed over, or one that was refused with the reason.
"""

from __future__ import annotations

import os
import stat
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import BinaryIO

from asfound.errors import NotMedia, Refused, Unreadable
from asfound.media.format import PREFIX_BYTES, AnyFormat, all_suffixes
from asfound.media.limits import DEFAULT_LIMITS, Limits
from asfound.media.opening import identify_prefix, open_regular

ZIP_STARTS = (b"PK\x03\x04", b"PK\x05\x06")
PASSED_NAMES = frozenset({"thumbs.db", "desktop.ini", "__macosx", "$recycle.bin", "system volume information"})
"""What systems leave on cards, in lower case; hidden names are passed over anyway."""


@dataclass(frozen=True, slots=True)
class Found:
    """A file whose content says that it is a picture or a clip.

    Attributes
    ----------
    where : str
        Path for messages, printable; a zip's members follow its path after ``!``.
    name : str
        File name without folders, printable; bytes that are no UTF-8 are shown as replacement marks.
    raw_name : bytes
        The name as it is.
    size : int
        Bytes.
    modified : datetime
        Aware for files; naive local time for members of zips, which keep nothing else.
    format : ImageFormat or ClipFormat
    open : callable
        Opens it for reading; close it after use. Raises `Unreadable`.
    """

    where: str
    name: str
    raw_name: bytes
    size: int
    modified: datetime
    format: AnyFormat
    open: Callable[[], BinaryIO]


@dataclass(frozen=True, slots=True)
class PassedOver:
    """Something that is not for the archive: hidden, a link, or of another kind."""

    where: str
    why: str


@dataclass(frozen=True, slots=True)
class NotTaken:
    """A file that a person would expect to be taken, and why it is not."""

    where: str
    name: str
    reason: str


Met = Found | PassedOver | NotTaken


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
        if shunned is not None and (raw + b"/").startswith(shunned + b"/"):
            yield PassedOver(printable(raw), "in the archive already")
        else:
            yield from _folder(raw, limits, shunned) if stat.S_ISDIR(mode) else _file(raw, limits, named=True)


def printable(raw: bytes) -> str:
    """A name as one line of text: undecodable bytes and control characters become replacement marks."""
    text = raw.decode("utf-8", errors="replace")
    return "".join("\ufffd" if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") else c for c in text)


def _folder(raw: bytes, limits: Limits, shunned: bytes | None) -> Iterator[Met]:
    if raw == shunned:
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
    where, base = printable(raw), os.path.basename(raw)
    try:
        with open_regular(raw) as file:
            found = os.fstat(file.fileno())
            prefix = _prefix(file)
        if prefix.startswith(ZIP_STARTS):
            # Loaded here only: most dumps hold no zip.
            from asfound.media.zips import walk_zip

            yield from walk_zip(raw, limits)
            return
        chosen = identify_prefix(prefix, printable(base))
    except Refused as refusal:
        yield classify_refusal(where, printable(base), refusal, named=named)
        return
    modified = _moment(found.st_mtime)
    yield Found(where, printable(base), base, found.st_size, modified, chosen, lambda: open_regular(raw))


def classify_refusal(where: str, name: str, refusal: Refused, *, named: bool) -> Met:
    """Refused if a person would miss it: named by hand, of a known suffix, or not to be read. Else passed over."""
    expected = named or is_called_zip(name) or os.path.splitext(name)[1].lower() in all_suffixes()
    if isinstance(refusal, NotMedia) and not expected:
        return PassedOver(where, "no picture or clip")
    return NotTaken(where, name, str(refusal))


def is_called_zip(name: str) -> bool:
    """Whether a name says that photos may be inside; other things are zips too, such as written documents."""
    return name.lower().endswith(".zip")


def is_hidden(name: bytes) -> bool:
    """Whether one part of a path is hidden, or one of the system's own."""
    return name.startswith(b".") or printable(name).casefold() in PASSED_NAMES


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
