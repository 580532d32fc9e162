"""Bring a table in, row by row: one step to undo, a row that cannot be taken leaves the others, and all is told.

A dry run does the same work and takes it back at the end, so that what it says is what would happen.
"""

from __future__ import annotations

import csv
import io
import re
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
from asfound.core.log.heads import LEAVE_OUT, ReadHead, as_columns
from asfound.errors import AsfoundError, Misused

Row = Mapping[str, str]
MOST_BYTES = 16 * 2**20
YEARS = range(1970, 2100)
_NUMBERED = re.compile(r"(?P<first>\d{1,2})(?P<mark>[./])(?P<second>\d{1,2})[./](?P<year>\d{4})")
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
    """What became of every row, in the file's order, and the columns that nobody here reads.

    Attributes
    ----------
    heads : tuple of ReadHead
        What the heads of the sheet were read as; empty for a table that has to have columns of ours.
    words : tuple of str
        What to know of how the file was read.
    """

    rows: tuple[RowAccount, ...]
    unread_columns: tuple[str, ...]
    heads: tuple[ReadHead, ...] = ()
    words: tuple[str, ...] = ()

    def count(self, became: str) -> int:
        """How many rows became so."""
        return sum(row.became == became for row in self.rows)


@dataclass(frozen=True, slots=True)
class Table:
    """A table as it was read.

    Attributes
    ----------
    names : list of str
        What its first line names, folded; a name that comes twice has a number behind it the second time.
    rows : list of (int, Row)
        Each with the line it begins on.
    heads : list of str
        The names as they are written.
    words : tuple of str
        What to know of how it was read.
    """

    names: list[str]
    rows: list[tuple[int, Row]]
    heads: list[str]
    words: tuple[str, ...] = ()


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
    choose: Callable[[Table], Sequence[ReadHead]] | None = None,
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

    choose : callable or None
        Says what the heads of a person's own sheet are read as; may raise what has to be asked first.

    Raises
    ------
    Misused
        If the file cannot be read as a table, or lacks a needed column.
    """
    table = read_table(path)
    heads = tuple(choose(table)) if choose else ()
    names, rows = table.names, table.rows
    if heads:
        names = list(dict.fromkeys(one.column for one in heads if one.column != LEAVE_OUT))
        rows = [(line, {**_left_over(row), **as_columns(row, heads)}) for line, row in rows]
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
    unread = tuple(name for name in names if not columns(name))
    return ImportReport(tuple(accounts), unread, heads, table.words)


def read_table(path: Path) -> Table:
    """A table of text, its cells parted by commas, semicolons or tabs; empty rows are left out.

    Text that is not UTF-8 is read as Windows-1252, which is said.

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
    text, words = _decoded(data, path.name)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_mark(text), strict=True)
    try:
        heads = _heads(next(reader, []))
        names = [head.casefold() for head in heads]
        return Table(names, list(_rows(reader, names)), heads, words)
    except csv.Error as error:
        raise Misused(f"{path.name}, line {reader.line_num}: {error}; fix that line.") from error


def _decoded(data: bytes, name: str) -> tuple[str, tuple[str, ...]]:
    """The text of a table, and what to know of how it was read."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        with suppress(UnicodeDecodeError):
            return data.decode("utf-16"), ()
    try:
        return data.decode("utf-8-sig"), ()
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        try:
            return data.decode("cp1252"), (
                f"{name} is not UTF-8 (line {line}); it was read as Windows-1252. Look whether letters such as é, ü "
                "and ° are right.",
            )
        except UnicodeDecodeError:
            raise Misused(f"{name} is not UTF-8 text (byte {error.start}); save it as CSV in UTF-8.") from error


def _mark(text: str) -> str:
    """What parts the cells: the mark that the first line has most often outside quotes."""
    first = re.sub(r'"[^"]*"', "", text.lstrip().partition("\n")[0])
    return max((",", ";", "\t"), key=first.count)


def _heads(cells: Sequence[str]) -> list[str]:
    """What the first line names; an empty cell and one that was met before are told apart by their place."""
    heads: list[str] = []
    met: set[str] = set()
    for at, cell in enumerate(cells, 1):
        head = " ".join(cell.split()) or f"column {at}"
        heads.append(f"{head} ({at})" if head.casefold() in met else head)
        met.add(head.casefold())
    return heads


def _left_over(row: Row) -> Row:
    return {_TOO_MANY: row[_TOO_MANY]} if _TOO_MANY in row else {}


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
        at = datetime.fromisoformat(_day_first(text.strip()))
    except ValueError as error:
        two = " that reads one way only" if _NUMBERED.fullmatch(text.strip()) else ""
        raise Misused(f'"{text}" is not a date{two}; write it like 2025-10-18') from error
    if at.year not in YEARS:
        raise Misused(f'"{text}" lies in the year {at.year}; is that a slip? Write it like 2025-10-18')
    is_day_only = len(text.strip()) <= len("2025-10-18")
    if is_day_only:
        # The last minute of a day is nobody's typed time; where it was twice either will do.
        return datetime.combine(at.date(), time(23, 59), ZoneInfo(zone)), True
    return place_typed(at, ZoneInfo(zone)), False


def _day_first(text: str) -> str:
    """A day such as 18.10.2025 or 18/10/2025 as it is kept; one that could be read month first stays as it is."""
    found = _NUMBERED.fullmatch(text)
    if found is None:
        return text
    first, second = int(found["first"]), int(found["second"])
    if found["mark"] == "." or first > 12 or first == second:
        return f"{found['year']}-{second:02}-{first:02}"
    return f"{found['year']}-{first:02}-{second:02}" if second > 12 else text


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
