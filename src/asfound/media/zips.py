"""Members of a zip, as phones and browsers hand over many photos at once.

Names inside are only names: nothing is ever unpacked to where they point. What a member announces is checked before
it is unpacked, and it is never given more room than it announced.
"""

from __future__ import annotations

import io
import os
import zipfile
import zlib
from collections.abc import Iterator
from datetime import datetime
from functools import partial
from typing import BinaryIO, cast

from asfound.errors import NotMedia, Refused, TooLarge, Unreadable
from asfound.media.documents import document_kind
from asfound.media.format import PREFIX_BYTES
from asfound.media.limits import MIB, Limits
from asfound.media.met import (
    ZIP_STARTS,
    FoundDocument,
    FoundFile,
    Met,
    NotTaken,
    PassedOver,
    classify_refusal,
    is_called_zip,
    is_hidden,
    printable,
)
from asfound.media.opening import identify_prefix, open_regular

UTF8_NAME = 0x800
ENCRYPTED = 0x1
ALLOWED_GROWTH_BYTES = MIB
"""Small members may grow by any ratio; it takes size to do harm."""

ZIP_ERRORS = (zipfile.BadZipFile, zlib.error, OSError, EOFError, ValueError, NotImplementedError, RuntimeError)


def walk_zip(raw: bytes, limits: Limits) -> Iterator[Met]:
    """Every member of a zip file, in order of its directory."""
    where = printable(raw)
    try:
        with open_regular(raw) as file, zipfile.ZipFile(file) as archive:
            members = archive.infolist()
    except ZIP_ERRORS as error:
        yield NotTaken(where, printable(os.path.basename(raw)), f"the zip is damaged: {error}")
        return
    if len(members) > limits.zip_members:
        yield NotTaken(where, printable(os.path.basename(raw)), f"the zip holds {len(members)} files, too many")
        return
    left = limits.zip_bytes
    for member in members:
        if member.is_dir():
            continue
        left -= member.file_size
        yield _member(raw, member, limits, left)


def _member(raw: bytes, member: zipfile.ZipInfo, limits: Limits, left: int) -> Met:
    raw_path = _raw_name(member)
    where = f"{printable(raw)}!{printable(raw_path)}"
    parts = [part for part in raw_path.replace(b"\\", b"/").split(b"/") if part not in (b"", b".", b"..")]
    base = parts[-1] if parts else b"unnamed"
    if any(is_hidden(part) for part in parts):
        return PassedOver(where, "hidden")
    prefix = b""
    try:
        _check_member(member, limits, left)
        with _open_member(raw, member) as file:
            prefix = file.read(PREFIX_BYTES)
        if prefix.startswith(ZIP_STARTS) and is_called_zip(printable(base)):
            return NotTaken(where, printable(base), "a zip within a zip; unpack it yourself and add what it holds")
        chosen = identify_prefix(prefix, printable(base))
    except Refused as refusal:
        kind = document_kind(prefix, printable(base)) if isinstance(refusal, NotMedia) and prefix else None
        if kind is not None:
            return FoundDocument(where, printable(base), kind, partial(_open_member, raw, member))
        return classify_refusal(where, printable(base), refusal, named=False)
    except ZIP_ERRORS as error:
        return NotTaken(where, printable(base), f"it cannot be unpacked: {error}")
    opener = partial(_open_member, raw, member)
    return FoundFile(where, printable(base), base, member.file_size, _modified(member), chosen, opener)


def _check_member(member: zipfile.ZipInfo, limits: Limits, left: int) -> None:
    if member.flag_bits & ENCRYPTED:
        raise Unreadable("it is locked with a password; unpack it yourself and add the files")
    if left < 0:
        raise TooLarge("the zip would unpack to more than is allowed")
    if member.file_size > ALLOWED_GROWTH_BYTES + limits.zip_ratio * member.compress_size:
        raise TooLarge(f"it would grow from {member.compress_size} to {member.file_size} bytes")
    if not member.file_size:
        raise NotMedia("the file is empty")


def _open_member(raw: bytes, member: zipfile.ZipInfo) -> BinaryIO:
    file = open_regular(raw)
    try:
        return cast(BinaryIO, io.BufferedReader(_Member(file, member), 1 << 18))
    except ZIP_ERRORS as error:
        file.close()
        raise Unreadable(f"it cannot be unpacked: {error}") from error


class _Member(io.RawIOBase):
    """A member as a plain stream that ends where it was announced to, raises OSError only, and closes its zip."""

    def __init__(self, file: BinaryIO, member: zipfile.ZipInfo) -> None:
        self._file = file
        self._zip = zipfile.ZipFile(file)
        self._stream = self._zip.open(member)
        self._left = member.file_size

    def readable(self) -> bool:
        return True

    def readinto(self, buffer: bytearray | memoryview) -> int:  # type: ignore[override]
        try:
            data = self._stream.read(min(len(buffer), self._left + 1))
        except ZIP_ERRORS as error:
            raise OSError(f"it cannot be unpacked: {error}") from error
        self._left -= len(data)
        if self._left < 0:
            raise OSError("it unpacks to more than it announced")
        buffer[: len(data)] = data
        return len(data)

    def close(self) -> None:
        if not self.closed:
            self._stream.close()
            self._zip.close()
            self._file.close()
        super().close()


def _raw_name(member: zipfile.ZipInfo) -> bytes:
    """The name as it lies in the zip."""
    encoding = "utf-8" if member.flag_bits & UTF8_NAME else "cp437"
    return member.orig_filename.encode(encoding, errors="surrogateescape")


def _modified(member: zipfile.ZipInfo) -> datetime:
    try:
        return datetime(*member.date_time)
    except ValueError:
        return datetime(1980, 1, 1)
