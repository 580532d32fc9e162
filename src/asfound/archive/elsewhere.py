"""Originals that lie elsewhere: in a backup, on a card, in any folder or zip. Found by their bytes, never by name."""

from __future__ import annotations

import os
import zipfile
from collections import defaultdict
from collections.abc import Callable, Iterable
from contextlib import suppress
from pathlib import Path
from typing import IO

from asfound.archive.put import CHUNK_BYTES
from asfound.core.fixity.digest import new_hasher

Opener = Callable[[], IO[bytes]]


class Elsewhere:
    """Every file below some folders and in some zips, by size; a digest is worked out only where the size fits."""

    def __init__(self, places: Iterable[Path]) -> None:
        self._by_size: dict[int, list[Opener]] = defaultdict(list)
        for place in places:
            if place.is_dir():
                self._take_folder(place)
            elif zipfile.is_zipfile(place):
                self._take_zip(place)
            elif place.is_file():
                self._by_size[place.stat().st_size].append(_opener(place))

    def find(self, digest: str, size: int) -> Opener | None:
        """What opens the bytes with a digest; None where they are not. They were read once by then."""
        for opener in self._by_size.get(size, ()):
            with suppress(OSError, zipfile.BadZipFile, RuntimeError):
                if _digest_of(opener) == digest:
                    return opener
        return None

    def _take_folder(self, folder: Path) -> None:
        for place, _, names in os.walk(folder):
            for name in names:
                path = Path(place, name)
                with suppress(OSError):
                    self._by_size[path.stat().st_size].append(_opener(path))

    def _take_zip(self, path: Path) -> None:
        with suppress(OSError, zipfile.BadZipFile), zipfile.ZipFile(path) as packed:
            for member in packed.infolist():
                self._by_size[member.file_size].append(_member_opener(path, member.filename))


def _opener(path: Path) -> Opener:
    return lambda: open(path, "rb")


def _member_opener(path: Path, member: str) -> Opener:
    return lambda: zipfile.ZipFile(path).open(member)


def _digest_of(opener: Opener) -> str:
    hasher = new_hasher()
    with opener() as file:
        while chunk := file.read(CHUNK_BYTES):
            hasher.update(chunk)
    return hasher.hexdigest()
