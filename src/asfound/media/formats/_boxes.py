"""Boxes of the ISO base media file format (ISO/IEC 14496-12): just enough to know a file and to read its header."""

from __future__ import annotations

from collections.abc import Iterator
from typing import BinaryIO

MOST_BOXES = 4096


def file_brands(prefix: bytes) -> list[bytes]:
    """Major brand, then compatible brands, of the `ftyp` box at the start; empty when there is none."""
    if len(prefix) < 16 or prefix[4:8] != b"ftyp":
        return []
    end = min(int.from_bytes(prefix[:4], "big"), len(prefix), 4096)
    return [prefix[8:12], *(prefix[at : at + 4] for at in range(16, end - 3, 4))]


def read_clip_count(file: BinaryIO) -> int | None:
    """Creation time in `moov/mvhd` as stored: seconds since 1904, 0 when not set; None without a readable header.

    Our own reading, because libraries turn doubtful counts into plausible dates without saying so.
    """
    size = file.seek(0, 2)
    moov = _find(file, b"moov", 0, size)
    mvhd = _find(file, b"mvhd", *moov) if moov else None
    if mvhd is None:
        return None
    file.seek(mvhd[0])
    body = file.read(12)
    if len(body) < 12:
        return None
    return int.from_bytes(body[4:12] if body[0] == 1 else body[4:8], "big")


def _find(file: BinaryIO, kind: bytes, start: int, end: int) -> tuple[int, int] | None:
    return next(((at, stop) for name, at, stop in _boxes(file, start, end) if name == kind), None)


def _boxes(file: BinaryIO, start: int, end: int) -> Iterator[tuple[bytes, int, int]]:
    """Kind, first byte of the content and first byte after it, for the boxes between two places."""
    at = start
    for _ in range(MOST_BOXES):
        file.seek(at)
        head = file.read(16)
        if len(head) < 8 or at >= end:
            return
        size, content = int.from_bytes(head[:4], "big"), at + 8
        if size == 1:
            size, content = int.from_bytes(head[8:16], "big"), at + 16
        elif size == 0:
            size = end - at
        if size < content - at:
            return
        yield head[4:8], content, min(at + size, end)
        at += size
