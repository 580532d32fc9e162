"""What each page of an SQLite file belongs to, read from the bytes themselves, for files that SQLite cannot read whole.

Follows "Database File Format", sections 1.6 and 1.7 (https://sqlite.org/fileformat2.html). A page that makes no sense
ends its branch; its own rows are known by the numbers beside it in the page above.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Protocol

INDEX_INSIDE, TABLE_INSIDE, INDEX_LEAF, TABLE_LEAF = 2, 5, 10, 13
FIRST_ROW, LAST_ROW = -(2**63), 2**63 - 1
_ENDS_OF_HEAD = {INDEX_INSIDE: 12, TABLE_INSIDE: 12, INDEX_LEAF: 8, TABLE_LEAF: 8}


class Bytes(Protocol):
    """Bytes, or a file mapped into memory."""

    def __getitem__(self, place: slice, /) -> bytes: ...

    def __len__(self) -> int: ...


@dataclass(frozen=True, slots=True)
class PageOwner:
    """What a page belongs to.

    Attributes
    ----------
    name : str
        The table or index.
    first_row, last_row : int
        The rowids that can lie in it, both included; all there are for a page of an index.
    """

    name: str
    first_row: int
    last_row: int


def map_pages(data: Bytes, page_size: int, reserved: int, roots: Mapping[int, str]) -> dict[int, PageOwner]:
    """Page number, from 1, to its owner.

    Parameters
    ----------
    roots : mapping of int to str
        First page to name of every table and index.
    """
    owners: dict[int, PageOwner] = {}
    for root, name in roots.items():
        waiting = [(root, FIRST_ROW, LAST_ROW)]
        while waiting:
            number, first, last = waiting.pop()
            if number in owners or not 0 < number <= len(data) // page_size:
                continue
            owners[number] = PageOwner(name, first, last)
            page = _Page(data[(number - 1) * page_size : number * page_size], number, page_size - reserved)
            try:
                waiting += page.children(first, last)
                for row, start in page.chains():
                    for spilled in _chain(data, page_size, start):
                        owners.setdefault(spilled, PageOwner(name, *((row, row) if row is not None else (first, last))))
            except (IndexError, ValueError):
                continue  # It is damaged, and so what lies below it is unknown.
    return owners


class _Page:
    """One page of a tree."""

    def __init__(self, data: bytes, number: int, usable: int) -> None:
        self.data, self.usable = data, usable
        self.head = 100 if number == 1 else 0
        self.kind = data[self.head]
        if self.kind not in _ENDS_OF_HEAD:
            self.kind = 0

    def cells(self) -> Iterator[int]:
        """Where each cell begins."""
        if not self.kind:
            return
        count = int.from_bytes(self.data[self.head + 3 : self.head + 5], "big")
        first = self.head + _ENDS_OF_HEAD[self.kind]
        if first + 2 * count > len(self.data):
            raise ValueError("more cells than a page holds")
        for at in range(first, first + 2 * count, 2):
            yield int.from_bytes(self.data[at : at + 2], "big")

    def children(self, first: int, last: int) -> list[tuple[int, int, int]]:
        """Pages below it, with the rowids that each can hold."""
        if self.kind not in (INDEX_INSIDE, TABLE_INSIDE):
            return []
        below, low = [], first
        for at in self.cells():
            child = int.from_bytes(self.data[at : at + 4], "big")
            if self.kind == TABLE_INSIDE:
                key, _ = _varint(self.data, at + 4)
                below.append((child, low, key))
                low = key + 1
            else:
                below.append((child, first, last))
        right = int.from_bytes(self.data[self.head + 8 : self.head + 12], "big")
        return [*below, (right, low, last)]

    def chains(self) -> Iterator[tuple[int | None, int]]:
        """(rowid, first page) of what spills over from a cell."""
        if self.kind not in (TABLE_LEAF, INDEX_LEAF, INDEX_INSIDE):
            return
        for at in self.cells():
            at += 4 if self.kind == INDEX_INSIDE else 0
            size, at = _varint(self.data, at)
            row = None
            if self.kind == TABLE_LEAF:
                row, at = _varint(self.data, at)
            here = self._stays(size)
            if here < size:
                yield row, int.from_bytes(self.data[at + here : at + here + 4], "big")

    def _stays(self, size: int) -> int:
        """How much of a payload lies in the page itself (section 1.6, "calculation of local payload")."""
        most = self.usable - 35 if self.kind == TABLE_LEAF else (self.usable - 12) * 64 // 255 - 23
        if size <= most:
            return size
        least = (self.usable - 12) * 32 // 255 - 23
        part = least + (size - least) % (self.usable - 4)
        return part if part <= most else least


def _chain(data: Bytes, page_size: int, start: int) -> Iterator[int]:
    """Pages of one payload that spilled over."""
    seen = set[int]()
    while start and start not in seen and start <= len(data) // page_size:
        seen.add(start)
        yield start
        at = (start - 1) * page_size
        start = int.from_bytes(data[at : at + 4], "big")


def _varint(data: bytes, at: int) -> tuple[int, int]:
    """A number of SQLite's varying length, and where it ends."""
    value = 0
    for step in range(9):
        byte = data[at + step]
        if step == 8:
            value = value << 8 | byte
            break
        value = value << 7 | byte & 0x7F
        if not byte & 0x80:
            break
    return value - (1 << 64) if value >> 63 else value, at + step + 1
