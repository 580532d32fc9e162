"""Pins out of a table: each row is a pin, one step takes all of them back, and what cannot be taken is told."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.actions import resolve
from asfound.actions.archive import Archive, open_archive
from asfound.actions.pin import list_of_tag
from asfound.actions.pins_import import import_pins
from asfound.errors import Misused
from tests.sallow_archive import bench_with_sallow


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    bench_with_sallow(tmp_path / "archive")
    with open_archive(tmp_path / "archive") as opened:
        yield opened


def table(folder: Path, *rows: str, head: str = "tag,end,picture,x,y,w,h") -> Path:
    path = folder / "pins.csv"
    path.write_text("\n".join((head, *rows)))
    return path


def places(archive: Archive, words: str) -> list[tuple[str, float, float | None]]:
    ref = resolve.get_tag(archive, words)
    return [(pin.end, pin.x_frac, pin.w_frac) for pin in list_of_tag(archive, ref.tag, ref.end)]


def test_rows_are_pins_and_one_undo_takes_them_back(archive: Archive, tmp_path: Path):
    before = places(archive, "17")

    report = import_pins(archive, table(tmp_path, "17,A,P1_0002.jpg,0.25,0.5,,", "17,B,P1_0003.jpg,0.5,0.5,0.2,0.1"))

    assert [(row.what, row.became) for row in report.rows] == [
        ("17a on P1_0002.jpg", "added"), ("17b on P1_0003.jpg", "added"),
    ]  # fmt: skip
    assert places(archive, "17") == [*before, ("A", 0.25, None), ("B", 0.5, 0.2)]
    again = import_pins(archive, table(tmp_path, "17,A,P1_0002.jpg,0.75,0.5,,"))
    assert [row.became for row in again.rows] == ["changed"]
    archive.store.undo(archive.now())
    archive.store.undo(archive.now())
    assert places(archive, "17") == before


@pytest.mark.parametrize(
    ("row", "why"),
    [
        ("17,A,P1_0002.jpg,left,0.5,,", 'x: "left" is no number'),
        ("17,A,P1_0002.jpg,1.5,0.5,,", "0 to 1"),
        ("12,A,P1_0002.jpg,0.5,0.5,,", "2 things"),
        ("17,A,P9_9999.jpg,0.5,0.5,,", "P9_9999.jpg"),
        ("17,A,P1_0002.jpg,nan,0.5,,", "no number"),
    ],
)
def test_row_that_cannot_be_taken_is_told_and_leaves_the_others(archive: Archive, tmp_path: Path, row: str, why: str):
    report = import_pins(archive, table(tmp_path, row, "18,A,P1_0002.jpg,0.1,0.1,,"))

    assert [one.became for one in report.rows] == ["refused", "added"]
    assert why in report.rows[0].left_out[0]


def test_table_without_places_is_refused(archive: Archive, tmp_path: Path):
    with pytest.raises(Misused):
        import_pins(archive, table(tmp_path, "17,P1_0002.jpg", head="tag,picture"))
