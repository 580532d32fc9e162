"""The directories of a TIFF file (TIFF 6.0, section 2): fields by number, without decoding any pixels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

MOST_DIRECTORIES = 64
MOST_FIELDS = 2048
MOST_VALUES = 4096
SUB_DIRECTORIES = 0x014A
_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 6: 1, 7: 1, 8: 2, 9: 4, 13: 4}
"""Bytes per value of the types that matter here: bytes, text, short, long, and pointers to directories."""


@dataclass(frozen=True, slots=True)
class Directory:
    """One image file directory.

    Attributes
    ----------
    fields : dict of int to tuple of int
        Whole numbers only; text comes as its byte values.
    """

    fields: dict[int, tuple[int, ...]]

    def first(self, number: int, default: int = 0) -> int:
        """The first value of a field."""
        values = self.fields.get(number)
        return values[0] if values else default


def is_tiff(prefix: bytes) -> bool:
    """Byte order, 42 (or 43 for the large form)."""
    return prefix[:4] in (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")


def read_directories(data: bytes) -> Iterator[Directory]:
    """The main directories in order, each followed by the ones below it. Damage ends the walk; nothing is raised."""
    if data[:4] not in (b"II*\0", b"MM\0*") or len(data) < 8:
        return
    order: Literal["little", "big"] = "little" if data[:2] == b"II" else "big"
    waiting, seen = [int.from_bytes(data[4:8], order)], set[int]()
    while waiting and len(seen) < MOST_DIRECTORIES:
        at = waiting.pop(0)
        if at in seen or not 8 <= at <= len(data) - 2:
            continue
        seen.add(at)
        fields, following = _read_directory(data, at, order)
        yield Directory(fields)
        waiting = [*fields.get(SUB_DIRECTORIES, ()), *([following] if following else []), *waiting]


def _read_directory(data: bytes, at: int, order: Literal["little", "big"]) -> tuple[dict[int, tuple[int, ...]], int]:
    def number(start: int, size: int) -> int:
        return int.from_bytes(data[start : start + size], order)

    count = min(number(at, 2), MOST_FIELDS)
    fields: dict[int, tuple[int, ...]] = {}
    for entry in range(at + 2, at + 2 + 12 * count, 12):
        size = _SIZES.get(number(entry + 2, 2))
        values = number(entry + 4, 4)
        if size is None or not 0 < values <= MOST_VALUES:
            continue
        start = entry + 8 if size * values <= 4 else number(entry + 8, 4)
        if start + size * values <= len(data):
            fields[number(entry, 2)] = tuple(number(start + size * i, size) for i in range(values))
    return fields, number(at + 2 + 12 * count, 4)
