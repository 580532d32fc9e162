"""Open the one SQLite file, nest transactions, and keep what is needed to take a person's steps back.

What a person entered lives in the tables of `PERSON_TABLES`. While a step is open, triggers write down the statement
that would reverse each change to them, so that any step can be undone exactly, whatever code made it.
"""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from asfound.errors import ArchiveTrouble, InTheWay, NothingToUndo
from asfound.model.steps import NOBODY, Writer
from asfound.store.connection import FAILURES, connect, copy_in_memory, keep_copy, reading_trouble, trouble
from asfound.store.migrations import is_current, migrate
from asfound.store.page_sums import forget_sums, save_sums

if TYPE_CHECKING:
    from sqlite_utils import Database

TAKEN_BACK = "taken back"
"""The kind of a step that holds how another, which it took back, comes again."""
STANDING = f"undone_at IS NULL AND kind <> '{TAKEN_BACK}'"
SUMMED_AT_ONCE_BYTES = 64 << 20
MANY_CHANGES = 200
_CHANGING = ("INSERT", "UPDATE", "DELETE", "REPLACE")


class Store:
    """One connection to an archive's database. Each thread opens its own."""

    def __init__(self, path: Path, *, read_only: bool = False) -> None:
        """Open or create the database and bring it to the present format. Where it cannot be written, it can be read.

        Parameters
        ----------
        read_only : bool
            Write nothing, not even where it could be.

        Raises
        ------
        ArchiveTrouble
            If the file is not a database of ours, is damaged, or was written by a later version.
        """
        self.path = path
        is_writable = os.access(path, os.W_OK) and os.access(path.parent, os.W_OK)
        read_only = read_only or (path.exists() and not is_writable)
        self._has_written, self._is_read_only = False, read_only
        self._given_up = 0
        try:
            self._connection = connect(path, read_only)
            if not is_current(self._connection):
                if read_only:
                    self._connection = copy_in_memory(self._connection)
                else:
                    keep_copy(self._connection, path)
                with self.transaction():
                    migrate(self.db)
                if read_only:
                    self._connection.execute("PRAGMA query_only = ON")
        except FAILURES as error:
            raise trouble(path, error) from error
        except OSError as error:
            raise ArchiveTrouble(
                f"{path.parent}: the disk cannot be used ({error.strerror or error}), and the database is as it was; "
                "make room or check the disk."
            ) from error

    @property
    def is_read_only(self) -> bool:
        """Whether nothing can be written here."""
        return self._is_read_only

    @contextmanager
    def in_memory(self) -> Iterator[None]:
        """What is worked out inside can be asked for afterwards, and is never saved: for a disk that is only read."""
        self._connection = copy_in_memory(self._connection)
        self.__dict__.pop("db", None)
        try:
            yield
        finally:
            self._connection.execute("PRAGMA query_only = ON")

    @cached_property
    def db(self) -> Database:
        """The connection as sqlite-utils has it; loading that library costs a fifth of a second, so only when used."""
        from sqlite_utils import Database

        return Database(self._connection, execute_plugins=False)

    def close(self) -> None:
        """Close the connection; calling it twice does no harm. What was written can be checked page by page then."""
        if self._has_written:
            self._has_written = False
            if not self._connection.in_transaction and self._sums_are_due():
                save_sums(self._connection, self.path)
        self._connection.close()

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """All or nothing for everything inside; nests.

        The outermost one takes the right to write at once and waits for it: a transaction that reads first and then
        finds a second writer ahead of it could not be waited for, only refused.
        """
        if self._connection.in_transaction:
            try:
                with self.db.atomic():
                    yield
            except BaseException:
                self._given_up += 1
                raise
            return
        self.run("BEGIN IMMEDIATE")
        self._begin_to_write()
        try:
            yield
        except BaseException:
            self._given_up += 1
            self._connection.rollback()
            raise
        try:
            self._connection.commit()
        except sqlite3.OperationalError as error:
            self._connection.rollback()
            raise trouble(self.path, error) from error
        except sqlite3.IntegrityError as error:
            self._connection.rollback()
            raise InTheWay("Something entered since refers to it; take that back first.") from error

    @property
    def in_transaction(self) -> bool:
        """Whether something is being written that is not yet kept."""
        return self._connection.in_transaction

    @contextmanager
    def step(self, words: str, at: datetime, *, by: Writer = NOBODY, kind: str = "") -> Iterator[None]:
        """Open one undoable step of the person, described by `words` ("tag 17 added").

        A step opened inside another becomes part of the outer one. A step that changes nothing leaves no trace.
        """
        with self.transaction():
            if self.value("SELECT step_id FROM open_step") is not None:
                yield
                return
            step_id = self._open_step(words, at, by, kind)
            yield
            self.run("DELETE FROM open_step")
            self.run(
                "DELETE FROM step WHERE step_id = ? AND step_id NOT IN (SELECT step_id FROM undo_line)",
                step_id,
            )

    def _open_step(self, words: str, at: datetime, by: Writer, kind: str, undoes: int | None = None) -> int:
        said = {"at": at.isoformat(), "words": words, "sitting": by.sitting, "who": by.who, "kind": kind}
        said |= {} if undoes is None else {"undoes": str(undoes)}
        names = [name for name, value in said.items() if value or name == "words"]
        cursor = self.run(
            f"INSERT INTO step({', '.join(names)}) VALUES ({', '.join('?' * len(names))})",
            *(said[name] for name in names),
        )
        self.run("INSERT INTO open_step(step_id) VALUES (?)", cursor.lastrowid)
        return int(cursor.lastrowid or 0)

    def undo(self, at: datetime, step_id: int | None = None, *, by: Writer = NOBODY) -> str:
        """Take a step back, by default the latest, and return its words. How it comes again is written down.

        Raises
        ------
        NothingToUndo
            If no step is left.
        InTheWay
            If what was entered later stands on it.
        """
        with self.transaction():
            step = self.row(
                f"SELECT step_id, words FROM step WHERE {STANDING} AND step_id = COALESCE(?, step_id) "
                "ORDER BY step_id DESC LIMIT 1",
                step_id,
            )
            if step is None:
                raise NothingToUndo("There is nothing left to undo.")
            lines = self.rows(
                "SELECT sql, its_table FROM undo_line WHERE step_id = ? ORDER BY line_id DESC", step["step_id"]
            )
            again = self._open_step(step["words"], at, by, TAKEN_BACK, step["step_id"])
            for line in lines:
                if line["its_table"] is None:
                    self._keep_row(line["sql"], again)
            self._reverse([line["sql"] for line in lines], step["words"])
            self.run("DELETE FROM open_step")
            self.run("UPDATE step SET undone_at = ? WHERE step_id = ?", at.isoformat(), step["step_id"])
            return str(step["words"])

    def redo(self, at: datetime) -> str:
        """Bring back the step that was taken back last, and return its words.

        Raises
        ------
        NothingToUndo
            If none was, or all were brought back.
        InTheWay
            If something entered since stands in its place.
        """
        with self.transaction():
            back = self.row(
                "SELECT step_id, words, undoes FROM step WHERE kind = ? AND redone_at IS NULL "
                "ORDER BY step_id DESC LIMIT 1",
                TAKEN_BACK,
            )
            if back is None:
                raise NothingToUndo("There is nothing to bring back.")
            lines = self.rows("SELECT sql FROM undo_line WHERE step_id = ? ORDER BY line_id DESC", back["step_id"])
            self._reverse([line["sql"] for line in lines], back["words"])
            self.run("UPDATE step SET redone_at = ? WHERE step_id = ?", at.isoformat(), back["step_id"])
            self.run("UPDATE step SET undone_at = NULL WHERE step_id = ?", back["undoes"])
            return str(back["words"])

    def _reverse(self, statements: list[str], words: str) -> None:
        self.run("PRAGMA defer_foreign_keys = ON")
        try:
            for sql in statements:
                self.run(sql)
        except sqlite3.IntegrityError as error:
            raise InTheWay(f'"{words}": what was entered since stands in its place; take that back first.') from error

    def _keep_row(self, sql: str, step_id: int) -> None:
        """Of a frame taken by hand, which no trigger watches: how its row comes again."""
        found = re.match(r"DELETE FROM picture WHERE picture_id = (\d+)", sql)
        row = None if found is None else self.row("SELECT * FROM picture WHERE picture_id = ?", int(found[1]))
        if row is not None:
            names = ", ".join(f'"{name}"' for name in row.keys())
            values = ", ".join(self.value("SELECT quote(?)", value) for value in row)
            self.run(
                "INSERT INTO undo_line(step_id, sql) VALUES (?, ?)",
                *(step_id, f"INSERT OR IGNORE INTO picture({names}) VALUES ({values})"),
            )

    def steps(self, limit: int) -> list[str]:
        """Words of the latest steps that can still be taken back, latest first."""
        rows = self.rows(f"SELECT words FROM step WHERE {STANDING} ORDER BY step_id DESC LIMIT ?", limit)
        return [str(row["words"]) for row in rows]

    def count_steps(self) -> int:
        """How many steps can still be taken back."""
        return int(self.value(f"SELECT COUNT(*) FROM step WHERE {STANDING}"))

    def stamp(self) -> tuple[int, int, int]:
        """A value that changes when anything is written or rolled back, by this connection or another.

        SQLite does not count a rollback as a change, yet what was read within it is no longer so.
        """
        return self._connection.total_changes, self._given_up, int(self.value("PRAGMA data_version"))

    def run(self, sql: str, *values: Any) -> sqlite3.Cursor:
        """Execute one statement; `ArchiveTrouble` when the file cannot be written, or another program holds it."""
        if sql.lstrip().startswith(_CHANGING) and not self._connection.in_transaction:
            with self.transaction():
                return self.run(sql, *values)
        try:
            return self._connection.execute(sql, values)
        except sqlite3.OperationalError as error:
            raise trouble(self.path, error) from error
        except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
            raise reading_trouble(self.path, error) from error

    def run_many(self, sql: str, rows: list[tuple[Any, ...]]) -> None:
        """Execute one statement for many rows; call it inside `transaction()`. `ArchiveTrouble` as for `run`."""
        try:
            self._connection.executemany(sql, rows)
        except sqlite3.OperationalError as error:
            raise trouble(self.path, error) from error

    def copy_into(self, copy: sqlite3.Connection, pages_at_once: int) -> None:
        """Copy the whole database into an empty one, a few pages at a time; what others write meanwhile is in it."""
        self._connection.backup(copy, pages=pages_at_once)

    def _sums_are_due(self) -> bool:
        """Summing a large database takes longer than one line of the log; whoever wrote much can wait for it."""
        return self.path.stat().st_size <= SUMMED_AT_ONCE_BYTES or self._connection.total_changes >= MANY_CHANGES

    def _begin_to_write(self) -> None:
        """From here on the pages are not as they were summed."""
        if not self._is_read_only:
            self._has_written = True
            forget_sums(self.path)

    def rows(self, sql: str, *values: Any) -> list[sqlite3.Row]:
        """All rows of a query; `ArchiveTrouble` when the file cannot be read."""
        try:
            return self._connection.execute(sql, values).fetchall()
        except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
            raise reading_trouble(self.path, error) from error

    def row(self, sql: str, *values: Any) -> sqlite3.Row | None:
        """The first row of a query, None when there is none; `ArchiveTrouble` when the file cannot be read."""
        try:
            found: sqlite3.Row | None = self._connection.execute(sql, values).fetchone()
        except (sqlite3.DatabaseError, UnicodeDecodeError) as error:
            raise reading_trouble(self.path, error) from error
        return found

    def value(self, sql: str, *values: Any) -> Any:
        """The first column of the first row, None when there is none."""
        found = self.row(sql, *values)
        return None if found is None else found[0]
