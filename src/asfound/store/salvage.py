"""Bring over what can be read of a damaged database into a new one, and name what was lost.

Rows are asked for one after the other; where SQLite gives up, the next row that it can reach is searched for. What an
index or a backup still knows of a lost row is used: a lost tag keeps its number, so that its pins keep their tag.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from asfound.store.connection import FAILURES
from asfound.store.database import Store
from asfound.store.migrations import PERSON_TABLES

Ranges = Mapping[str, Sequence[tuple[int, int]]]
LAST_ROW = 2**63 - 1
LOST_WORDS = "the rest of what was written of it was lost with a damaged page"
_MADE_ANEW = ("search_", "sqlite_", "stale_search", "open_step")


@dataclass(slots=True)
class SalvageReport:
    """What became of the rows.

    Attributes
    ----------
    brought : int
        Rows that were read and are in the new database.
    from_backup, lost, doubtful : list of str
        Rows of a person's words or of pictures that came from a backup, that are gone, and that lie on a damaged page
        and could be read, so that they must be looked at.
    loose : list of str
        Rows that refer to lost ones and have no place any more, as JSON.
    sorted_anew : bool
        Whether something that the machine works out is missing, and will be worked out again.
    """

    brought: int = 0
    from_backup: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    doubtful: list[str] = field(default_factory=list)
    loose: list[str] = field(default_factory=list)
    sorted_anew: bool = False


def salvage(damaged: Path, target: Path, *, changed: Ranges, backup: Path | None = None) -> SalvageReport:
    """Make a new database of what can be read.

    Parameters
    ----------
    damaged : Path
        Only read.
    target : Path
        A file that is not there yet.
    changed : mapping of str to ranges of rowids
        Rows that lie on pages which are not as they were left, as `find_changed_rows` gives them.
    backup : Path or None
        An earlier state of the same database, asked for rows that are gone.
    """
    Store(target).close()
    with closing(_reading(damaged)) as old, closing(sqlite3.connect(target, isolation_level=None)) as new:
        new.execute("PRAGMA foreign_keys = OFF")
        new.execute("BEGIN")
        earlier = None if backup is None else _reading(backup)
        work = _Salvage(old, new, earlier, changed)
        work.run()
        new.execute("COMMIT")
        if earlier is not None:
            earlier.close()
    return work.report


def _reading(path: Path) -> sqlite3.Connection:
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True, isolation_level=None)
    # Entries of the list of tables that make no sense are passed over instead of making every query fail.
    with suppress(*FAILURES):
        connection.execute("PRAGMA writable_schema = ON")
    connection.text_factory = lambda data: data.decode("utf-8", "replace")
    return connection


class _Salvage:
    """One salvage under way."""

    def __init__(
        self, old: sqlite3.Connection, new: sqlite3.Connection, earlier: sqlite3.Connection | None, changed: Ranges
    ) -> None:
        self.old, self.new, self.earlier, self.changed = old, new, earlier, changed
        self.report = SalvageReport()

    def run(self) -> None:
        """Bring every table over, then what has lost the row it refers to."""
        tables = self.new.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table'").fetchall()
        for name, sql in tables:
            if name.startswith(_MADE_ANEW):
                continue
            columns = [row[1] for row in self.new.execute(f'PRAGMA table_info("{name}")')]
            known = _columns(self.old, name) or _columns(self.earlier, name)
            shared = [column for column in columns if column in known]
            if "WITHOUT ROWID" in sql:
                self._bring_computed(name, shared)
            elif shared:
                self._bring_table(name, shared)
            elif self._is_of_this_format() and _is_told(name):
                self.report.lost.append(f"rows of {name}, if it had any: the damaged database does not know the table")
        self._drop_loose()
        if self.report.sorted_anew:
            self.new.execute("INSERT OR IGNORE INTO setting(name, value) VALUES ('stale spots', '1')")

    def _is_of_this_format(self) -> bool:
        """Whether every table must have been there: of an earlier format some were not made yet."""
        with suppress(*FAILURES):
            formats = (one.execute("PRAGMA user_version").fetchone() for one in (self.old, self.new))
            return len(set(formats)) == 1
        return True

    def _bring_computed(self, table: str, columns: list[str]) -> None:
        names = _quoted(columns)
        try:
            for row in self.old.execute(f'SELECT {names} FROM "{table}"'):
                self._insert(table, columns, row)
        except FAILURES:
            self.report.sorted_anew = True

    def _bring_table(self, table: str, columns: list[str]) -> None:
        found = set[int]()
        has_holes = False
        for row in _rows(self.old, table, columns):
            if row is None:
                has_holes = True
            elif self._insert(table, ["rowid", *columns], row):
                found.add(row[0])
                self._look_at(table, columns, row)
            else:
                has_holes = True
        if has_holes or not _columns(self.old, table):
            self._bring_lost(table, columns, found)

    def _look_at(self, table: str, columns: list[str], row: Sequence[Any]) -> None:
        """A row on a damaged page is sure only where a backup has the same one."""
        if not _is_in(row[0], self.changed.get(table, ())) or not _is_told(table):
            return
        if _row(self.earlier, table, columns, row[0]) != tuple(row):
            self.report.doubtful.append(self._words(table, dict(zip(columns, row[1:], strict=True)), row[0]))

    def _bring_lost(self, table: str, columns: list[str], found: set[int]) -> None:
        """Rows that could not be read: from the backup, else what the indexes know of them."""
        known = _known_of(self.old, table)
        with suppress(*FAILURES):
            if self.earlier is not None:
                known |= {
                    row[0]: {} for row in self.earlier.execute(f'SELECT rowid FROM "{table}"') if row[0] not in known
                }
        for rowid in sorted(known.keys() - found):
            kept = _row(self.earlier, table, columns, rowid)
            if kept is not None and self._insert(table, ["rowid", *columns], kept):
                self._tell(self.report.from_backup, table, dict(zip(columns, kept[1:], strict=True)), rowid)
                continue
            words = self._words(table, known[rowid], rowid)
            if table == "tag" and self._keep_number(rowid, known[rowid]):
                words += "; its number is kept"
            if _is_told(table):
                self.report.lost.append(words)
            else:
                self.report.sorted_anew = True
        if not known.keys() - found and _is_told(table):
            self.report.lost.append(f"rows of {table}, which nothing else knows")

    def _keep_number(self, tag_id: int, known: Mapping[str, Any]) -> bool:
        names = ("job_id", "number", "nth")
        if not all(name in known for name in names):
            return False
        values = [known[name] for name in names]
        return self._insert(
            "tag", ["rowid", *names, "note", "created_at"], (tag_id, *values, LOST_WORDS, "1970-01-01T00:00:00+00:00")
        )

    def _drop_loose(self) -> None:
        """What refers to a lost row has no place; a person's words are told in full."""
        while found := self.new.execute("PRAGMA foreign_key_check").fetchall():
            for table, rowid, parent, _key in found:
                if rowid is None:
                    self.report.sorted_anew = True
                    self.new.execute(f'DELETE FROM "{table}"')
                    break
                columns = [row[1] for row in self.new.execute(f'PRAGMA table_info("{table}")')]
                row = _row(self.new, table, columns, rowid)
                if row is not None and _is_told(table):
                    said = {"table": table, "lost": parent, **dict(zip(columns, row[1:], strict=True))}
                    self.report.loose.append(json.dumps(said, default=repr))
                self.new.execute(f'DELETE FROM "{table}" WHERE rowid = ?', (rowid,))

    def _insert(self, table: str, columns: Sequence[str], row: Sequence[Any]) -> bool:
        marks = ", ".join("?" * len(columns))
        try:
            done = self.new.execute(f'INSERT OR REPLACE INTO "{table}"({_quoted(columns)}) VALUES ({marks})', row)
        except (sqlite3.IntegrityError, OverflowError):
            return False
        self.report.brought += done.rowcount
        return True

    def _tell(self, where: list[str], table: str, row: Mapping[str, Any], rowid: int) -> None:
        if _is_told(table):
            where.append(self._words(table, row, rowid))

    def _words(self, table: str, row: Mapping[str, Any], rowid: int) -> str:
        """A row for the person: "pin 3 of tag 17 b", "tag 17"."""
        number = row.get("number") if table == "tag" else self._number(row.get("tag_id"))
        about = [f"tag {number}" if table != "tag" else str(number)] if number else []
        about += [str(row[name]) for name in ("end", "kind", "label", "file", "what") if row.get(name)]
        return f"{table} {' '.join(about)} (row {rowid})" if about else f"{table}, row {rowid}"

    def _number(self, tag_id: object) -> str:
        with suppress(*FAILURES):
            found = self.new.execute("SELECT number FROM tag WHERE tag_id = ?", (tag_id,)).fetchone()
            return "" if found is None else str(found[0])
        return ""


def _is_told(table: str) -> bool:
    return table in PERSON_TABLES or table in ("picture", "clip", "original", "arrival", "dump", "camera")


def _columns(connection: sqlite3.Connection | None, table: str) -> set[str]:
    if connection is not None:
        with suppress(*FAILURES):
            return {row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')}
    return set()


def _rows(connection: sqlite3.Connection, table: str, columns: Sequence[str]) -> Iterator[Sequence[Any] | None]:
    """Every row that can be reached, its rowid first; None for each hole."""
    query = f'SELECT rowid, {_quoted(columns)} FROM "{table}" WHERE rowid >= ? ORDER BY rowid'
    start, step = -(2**62), 1
    while start <= LAST_ROW:
        try:
            for row in connection.execute(query, (start,)):
                yield row
                start, step = row[0] + 1, 1
            return
        except FAILURES as error:
            if "no such" in str(error):
                yield None
                return
            yield None
            if start < 0:
                start = 0
            found = _reachable(connection, table, start, step)
            if found is None:
                return
            start = found


def _reachable(connection: sqlite3.Connection, table: str, start: int, step: int) -> int | None:
    """The lowest row from `start` on that can be asked for; None when there is none."""
    low = start
    while start + step <= LAST_ROW:
        if _can_read(connection, table, start + step):
            high = start + step
            while high - low > 1:
                middle = (low + high) // 2
                low, high = (low, middle) if _can_read(connection, table, middle) else (middle, high)
            return high
        low, step = start + step, step * 2
    return None


def _can_read(connection: sqlite3.Connection, table: str, start: int) -> bool:
    with suppress(*FAILURES):
        connection.execute(f'SELECT * FROM "{table}" WHERE rowid >= ? ORDER BY rowid LIMIT 1', (start,)).fetchone()
        return True
    return False


def _known_of(connection: sqlite3.Connection, table: str) -> dict[int, dict[str, Any]]:
    """Rowid to the columns that some index of a table still has of it."""
    known: dict[int, dict[str, Any]] = {}
    with suppress(*FAILURES):
        for _seq, index, *_rest in connection.execute(f'PRAGMA index_list("{table}")').fetchall():
            names = [row[2] for row in connection.execute(f'PRAGMA index_info("{index}")')]
            with suppress(*FAILURES):
                query = f'SELECT rowid, {_quoted(names)} FROM "{table}" INDEXED BY "{index}"'
                for rowid, *values in connection.execute(query):
                    known.setdefault(rowid, {}).update(zip(names, values, strict=True))
    return known


def _row(
    connection: sqlite3.Connection | None, table: str, columns: Sequence[str], rowid: int
) -> tuple[Any, ...] | None:
    if connection is not None:
        with suppress(*FAILURES):
            query = f'SELECT rowid, {_quoted(columns)} FROM "{table}" WHERE rowid = ?'
            found: tuple[Any, ...] | None = connection.execute(query, (rowid,)).fetchone()
            return found
    return None


def _is_in(rowid: int, ranges: Sequence[tuple[int, int]]) -> bool:
    return any(first <= rowid <= last for first, last in ranges)


def _quoted(names: Sequence[str]) -> str:
    return ", ".join(f'"{name}"' for name in names)
