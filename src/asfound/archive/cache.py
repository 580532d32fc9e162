"""What can be made again from originals: previews, thumbnails, features. Whole or absent, and never missed for long.

Each file ends with eight bytes of its own: a mark and the CRC-32 of all before it, little-endian. What does not agree
with them (torn, emptied, a byte flipped) counts as absent, and is made anew. Viewers pass over bytes behind a JPEG.
"""

from __future__ import annotations

import os
import zlib
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from asfound.archive.atomic import TEMPORARY, save_bytes
from asfound.archive.layout import CACHE_KINDS, Layout

MARK = b"AFC1"
END_BYTES = len(MARK) + 4


def get_cached(layout: Layout, kind: str, name: str) -> bytes | None:
    """The bytes kept under a name, None when there are none, or they are no longer the ones that were kept."""
    try:
        return without_end(layout.cached(kind, name).read_bytes())
    except OSError:
        return None


def put_cached(layout: Layout, kind: str, name: str, data: bytes) -> None:
    """Keep bytes under a name. A full or read-only disk is no error: the bytes can be made again."""
    target = layout.cached(kind, name)
    with suppress(OSError):
        target.parent.mkdir(parents=True, exist_ok=True)
        save_bytes(target, with_end(data), durable=False)


def list_cached(layout: Layout) -> Iterator[Path]:
    """Every file that is kept, in order of place; drafts left out."""
    for kind in CACHE_KINDS:
        for place, folders, names in os.walk(layout.cache / kind):
            folders.sort()
            yield from (Path(place, name) for name in sorted(names) if not name.startswith(TEMPORARY))


def is_cached_whole(path: Path) -> bool:
    """Whether a kept file is the one that was kept; one that the system will not hand over is not."""
    try:
        return without_end(path.read_bytes()) is not None
    except OSError:
        return False


def with_end(data: bytes) -> bytes:
    """Bytes as they lie on the disk."""
    return data + MARK + zlib.crc32(data).to_bytes(4, "little")


def without_end(stored: bytes) -> bytes | None:
    """The bytes that `with_end` was given; None when these are not what it made of any."""
    data = stored[:-END_BYTES]
    return data if stored == with_end(data) else None
