"""Bring a table in, row by row: one step to undo, a row that cannot be taken leaves the others, and all is told.

A dry run does the same work and takes it back at the end, so that what it says is what would happen.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime, time
from pathlib import Path
from typing import Literal
from zoneinfo import ZoneInfo

from asfound.actions.archive import Archive
from asfound.actions.undo import IMPORT
from asfound.core.capture.clock_changes import place_typed
from asfound.errors import AsfoundError, Misused

Row = Mapping[str, str]
MOST_BYTES = 16 * 2**20
YEARS = range(1970, 2100)
_TOO_MANY = "\0"
"""Stands for a column that no table can have."""


@dataclass(frozen=True, slots=True)
class RowAccount:
    """What became of a row.

    Attributes
    ----------
    line : int
        Where it begins in the file, the first line being 1.
    changes : tuple of str
        "name: water hose" for what is new, "name: hose -> water hose" for what is another.
    left_out : tuple of str
        What of the row could not be taken, with the reason; of a refused row, the reason why.
    """

    line: int
    what: str
    became: Literal["added", "changed", "same", "refused"]
    changes: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What became of every row, in the file's order, and the columns that nobody here reads."""

    rows: tuple[RowAccount, ...]
    unread_columns: tuple[str, ...]

    def count(self, became: str) -> int:
        """How many rows became so."""
        return sum(row.became == became for row in self.rows)


@dataclass(slots=True)
class TakenRow:
    """A row that was taken: the key under which its thing is described, and what of it could not be."""

    key: int
    what: str
    left_out: list[str] = field(default_factory=list)


Described = Mapping[int, Mapping[str, str]]


class _TakeBack(Exception):
    """Ends a dry run."""


def import_table(
    archive: Archive,
    path: Path,
    *,
    words: str,
    columns: Callable[[str], bool],
    needed: Collection[str],
    take: Callable[[Row], TakenRow],
    finish: Callable[[Row, TakenRow], None],
    describe: Callable[[], Described],
    is_dry_run: bool = False,
) -> ImportReport:
    """Take every row of a table, then finish each with what refers to other rows.

    Parameters
    ----------
    columns : callable
        Whether a column is known.
    needed : collection of str
        Columns without which the table is none of ours.
    describe : callable
        Everything known now, as key to field to text; asked before and after, so that the account is of facts.

    Raises
    ------
    Misused
        If the file cannot be read as a table, or lacks a needed column.
    """
    names, rows = read_table(path)
    if lacking := [name for name in needed if name not in names]:
        raise Misused(
            f"{path.name} has no column {lacking[0]}; its first line must name the columns: {', '.join(names)}"
        )
    accounts: list[RowAccount] = []
    with suppress(_TakeBack), archive.step(words, kind=IMPORT):
        before = {key: dict(fields) for key, fields in describe().items()}
        taken = [_take(archive, row, take) for _line, row in rows]
        for (_line, row), one in zip(rows, taken, strict=True):
            if isinstance(one, TakenRow):
                finish(row, one)
        after = describe()
        accounts = [_account(line, one, before, after) for (line, _row), one in zip(rows, taken, strict=True)]
        if is_dry_run:
            raise _TakeBack
    return ImportReport(tuple(accounts), tuple(name for name in names if not columns(name)))


def read_table(path: Path) -> tuple[list[str], list[tuple[int, Row]]]:
    """Columns and rows (with the line each begins on) of a table of text; empty rows are left out.

    Raises
    ------
    Misused
        If it is no text, or too large.
    """
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise Misused(f"{path}: {error.strerror or error}; name a table such as tags.csv") from error
    if len(data) > MOST_BYTES:
        raise Misused(f"{path.name} is larger than {MOST_BYTES >> 20} MiB; that is not a table of tags.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise Misused(f"{path.name} is not UTF-8 text (byte {error.start}); save it as CSV in UTF-8.") from error
    first = text.partition("\n")[0]
    mark = "," if "," in first or not first.strip() else ";" if ";" in first else "\t"
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
    try:
        names = [name.strip().casefold() for name in next(reader, [])]
        return names, list(_rows(reader, names))
    except csv.Error as error:
        raise Misused(f"{path.name}, line {reader.line_num}: {error}; fix that line.") from error


def parts(text: str) -> list[str]:
    """The things of a list such as "2;3;4"."""
    return [part.strip() for part in text.split(";") if part.strip()]


def read_day(text: str, zone: str) -> tuple[datetime, bool]:
    """A moment, and whether only its day is known: then it is the day's last minute, for the pictures of that day show
    how it was before.

    Raises
    ------
    Misused
        If it is no date, or a time that the zone's clocks showed twice or never.
    """
    try:
        at = datetime.fromisoformat(text.strip())
    except ValueError as error:
        raise Misused(f'"{text}" is not a date; write it like 2025-10-18') from error
    if at.year not in YEARS:
        raise Misused(f'"{text}" lies in the year {at.year}; is that a slip? Write it like 2025-10-18')
    is_day_only = len(text.strip()) <= len("2025-10-18")
    if is_day_only:
        # The last minute of a day is nobody's typed time; where it was twice either will do.
        return datetime.combine(at.date(), time(23, 59), ZoneInfo(zone)), True
    return place_typed(at, ZoneInfo(zone)), False


def read_count(text: str, name: str) -> int | None:
    """A count of pieces; None when the cell is empty."""
    if not text.strip():
        return None
    if not (text.strip().isdecimal() and len(text.strip()) <= 6):
        raise Misused(f'{name}: "{text}" is not a count of pieces')
    return int(text)


def _rows(reader: Iterator[Sequence[str]], names: Sequence[str]) -> Iterator[tuple[int, Row]]:
    for cells in reader:
        line: int = reader.line_num  # type: ignore[attr-defined]
        if any(cell.strip() for cell in cells):
            row = dict.fromkeys(names, "") | dict(zip(names, (cell.strip() for cell in cells), strict=False))
            if len(cells) > len(names) and any(cell.strip() for cell in cells[len(names) :]):
                row[_TOO_MANY] = f"it has {len(cells)} cells, the first line names {len(names)}"
            yield line, row


def _take(archive: Archive, row: Row, take: Callable[[Row], TakenRow]) -> TakenRow | tuple[str, str]:
    """The row taken, or its name and why it was not; what it had changed by then is taken back."""
    named = next((cell for cell in row.values() if cell), "")
    if _TOO_MANY in row:
        return named, f"{row[_TOO_MANY]}: a comma too many? Put the text in double quotes"
    try:
        with archive.store.transaction():
            return take(row)
    except AsfoundError as error:
        return named, str(error)


def _account(line: int, taken: TakenRow | tuple[str, str], before: Described, after: Described) -> RowAccount:
    if not isinstance(taken, TakenRow):
        named, why = taken
        return RowAccount(line, named, "refused", left_out=(why,))
    old, new = before.get(taken.key), after.get(taken.key, {})
    was: Mapping[str, str] = old or {}
    changes = tuple(
        f"{name}: {was[name]} -> {new.get(name) or 'nothing'}" if was.get(name) else f"{name}: {new.get(name)}"
        for name in dict.fromkeys((*was, *new))
        if was.get(name, "") != new.get(name, "")
    )
    became: Literal["added", "changed", "same"] = "added" if old is None else "changed" if changes else "same"
    return RowAccount(line, taken.what, became, changes, tuple(taken.left_out))
