"""What is met while walking over a folder, a card or a zip: what can be taken, what is passed over, what is refused."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import BinaryIO

from asfound.errors import NotMedia, Refused
from asfound.media.format import AnyFormat, all_suffixes
from asfound.model.documents import DocumentKind

ZIP_STARTS = (b"PK\x03\x04", b"PK\x05\x06")
PASSED_NAMES = frozenset({"thumbs.db", "desktop.ini", "__macosx", "$recycle.bin", "system volume information"})
"""What systems leave on cards, in lower case; hidden names are passed over anyway."""

OTHER_MEDIA = frozenset(
    ".avi .mts .m2ts .ts .mkv .webm .mpg .mpeg .wmv .flv .avif .jxl .gif .bmp .jp2 "
    ".cr2 .cr3 .crw .nef .arw .raf .rw2 .orf .srw .pef .x3f .insv .lrv".split()
)
"""Suffixes of photos and clips that cannot be read here: a person who hands them in must be told of each by name."""


@dataclass(frozen=True, slots=True)
class FoundFile:
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


@dataclass(frozen=True, slots=True)
class FoundDocument:
    """A file that is neither a photo nor a clip and can be kept as a document; fields as of `FoundFile`."""

    where: str
    name: str
    kind: DocumentKind
    open: Callable[[], BinaryIO]


Met = FoundFile | FoundDocument | PassedOver | NotTaken


def printable(raw: bytes) -> str:
    """A name as one line of text: undecodable bytes and control characters become replacement marks."""
    text = raw.decode("utf-8", errors="replace")
    return "".join("\ufffd" if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") else c for c in text)


def classify_refusal(where: str, name: str, refusal: Refused, *, named: bool) -> Met:
    """Refused if a person would miss it: named by hand, of a known suffix, or not to be read. Else passed over."""
    suffix = os.path.splitext(name)[1].lower()
    if isinstance(refusal, NotMedia) and suffix in OTHER_MEDIA:
        return NotTaken(where, name, f"photos and clips of the kind {suffix} cannot be read here; keep it on the card")
    expected = named or is_called_zip(name) or suffix in all_suffixes()
    if isinstance(refusal, NotMedia) and not expected:
        return PassedOver(where, "no picture or clip")
    return NotTaken(where, name, str(refusal))


def is_called_zip(name: str) -> bool:
    """Whether a name says that photos may be inside; other things are zips too, such as written documents."""
    return name.lower().endswith(".zip")


def is_hidden(name: bytes) -> bool:
    """Whether one part of a path is hidden, or one of the system's own."""
    return name.startswith(b".") or printable(name).casefold() in PASSED_NAMES
