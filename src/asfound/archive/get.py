"""Find an original by its digest."""

from __future__ import annotations

from pathlib import Path
from typing import BinaryIO

from asfound.archive.layout import Layout
from asfound.archive.put import find_stored
from asfound.errors import OriginalMissing


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


def open_original(layout: Layout, digest: str, suffix: str = "") -> BinaryIO:
    """An original for reading; `OriginalMissing` if it is not there."""
    return open(path_of(layout, digest, suffix), "rb")
