"""A long table is brought in in time that grows with its rows, and not with their square."""

from __future__ import annotations

from pathlib import Path

from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.tags_import import import_tags
from asfound.store.database import Store


def statements(tmp_path: Path, rows: int) -> int:
    """How many rows of the database are read and how many statements run while so many tags are brought in."""
    count = 0
    table = tmp_path / f"{rows}.csv"
    lines = (f"{row},hose,pump {row},B{row % 7},2025-10-18" for row in range(1, rows + 1))
    table.write_text("\n".join(["tag,kind,end_a_place,bag,off_on", *lines]))
    with open_archive(tmp_path / f"archive {rows}", create=True) as archive:
        new_job(archive, "Sallow", zone="Europe/Amsterdam")
        count = _counted(archive, table)
    return count


def _counted(archive: Archive, table: Path) -> int:
    seen = 0
    fetch, run = Store.rows, Store.run

    def rows(self: Store, sql: str, *values: object) -> list[object]:
        nonlocal seen
        found = fetch(self, sql, *values)
        seen += len(found) + 1
        return found

    def ran(self: Store, sql: str, *values: object) -> object:
        nonlocal seen
        seen += 1
        return run(self, sql, *values)

    Store.rows, Store.run = rows, ran  # type: ignore[method-assign, assignment]
    try:
        import_tags(archive, table)
    finally:
        Store.rows, Store.run = fetch, run  # type: ignore[method-assign]
    return seen


def test_ten_times_the_rows_are_about_ten_times_the_work(tmp_path: Path):
    few, many = statements(tmp_path, 30), statements(tmp_path, 300)

    assert 8 < many / few < 13
