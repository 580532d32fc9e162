"""What can be made again from originals: previews, thumbnails, features. Whole or absent, and never missed for long."""

from __future__ import annotations

import shutil
from contextlib import suppress

from asfound.archive.atomic import save_bytes
from asfound.archive.layout import CACHE_KINDS, Layout


def get_cached(layout: Layout, kind: str, name: str) -> bytes | None:
    """The bytes kept under a name, None when there are none."""
    try:
        return layout.cached(kind, name).read_bytes()
    except OSError:
        return None


def put_cached(layout: Layout, kind: str, name: str, data: bytes) -> None:
    """Keep bytes under a name. A full or read-only disk is no error: the bytes can be made again."""
    target = layout.cached(kind, name)
    with suppress(OSError):
        target.parent.mkdir(parents=True, exist_ok=True)
        save_bytes(target, data, durable=False)


def has_cached(layout: Layout, kind: str, name: str) -> bool:
    """Whether bytes are kept under a name."""
    return layout.cached(kind, name).exists()


def clear_cache(layout: Layout) -> None:
    """Delete everything that can be made again."""
    for kind in CACHE_KINDS:
        shutil.rmtree(layout.cache / kind, ignore_errors=True)
        (layout.cache / kind).mkdir(parents=True, exist_ok=True)
