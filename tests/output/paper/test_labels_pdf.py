"""Printed labels, read back from the PDF: markers by the reader, sizes by counting pixels at 600 to the inch."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdfium2 as pdfium
import pytest
from numpy.typing import NDArray

from asfound.actions.archive import Archive
from asfound.actions.labels import tag_labels, write_labels
from asfound.core.read.markers import detect_markers
from asfound.core.sheets.labels.content import GRIDS, LabelOrder, grid_on
from tests.small_archive import empty_archive

MM_PER_INCH = 25.4


def pages_of(path: Path, dpi: int) -> list[NDArray[np.uint8]]:
    document = pdfium.PdfDocument(path)
    return [np.asarray(page.render(scale=dpi / 72, grayscale=True).to_pil()) for page in document]


@pytest.fixture(name="archive")
def _archive(tmp_path: Path) -> Archive:
    return empty_archive(tmp_path / "archive")


ORDERS = {
    "stickers": LabelOrder("Sallow", (), grid=GRIDS["A4"]["3x7"], frames=True),
    "small stickers": LabelOrder("Sallow", (), grid=GRIDS["A4"]["5x13"]),
    "flags": LabelOrder("Sallow", (), "flag", cable_mm=8),
    "bands": LabelOrder("Sallow", (), "band", cable_mm=40),
    "tape of 9 mm": LabelOrder("Sallow", (), tape_mm=9),
    "tape of 24 mm, flags": LabelOrder("Sallow", (), "flag", tape_mm=24, flag_mm=40),
}


@pytest.mark.parametrize("name", ORDERS)
@pytest.mark.parametrize("dpi", [150, 300])
def test_every_marker_is_read_back(archive: Archive, tmp_path: Path, name: str, dpi: int) -> None:
    order = ORDERS[name]
    labels = tag_labels(archive, "1-9, 147, 293")
    labels_of = LabelOrder(order.title, tuple(labels), order.shape, order.grid, order.tape_mm, order.cable_mm,
                           order.flag_mm, frames=order.frames)  # fmt: skip

    made = write_labels(archive, tmp_path / "labels.pdf", labels_of)

    read = [(m.number, m.end) for page in pages_of(made.path, dpi) for m in detect_markers(page)]
    assert {(label.number, label.end) for label in labels if label.end} <= set(read)
    assert len(read) == len(labels) * (2 if order.shape == "flag" else 1)


def test_the_check_bar_is_100_mm_to_a_tenth(archive: Archive, tmp_path: Path) -> None:
    order = LabelOrder("Sallow", tuple(tag_labels(archive, "1")), grid=GRIDS["A4"]["3x7"])

    [page] = pages_of(write_labels(archive, tmp_path / "labels.pdf", order).path, 600)

    foot = page[-round(9 / MM_PER_INCH * 600) :] < 128
    bar = np.flatnonzero(foot[np.argmax(foot.sum(axis=1))])
    longest = max(np.split(bar, np.flatnonzero(np.diff(bar) > 1) + 1), key=len)
    assert len(longest) / 600 * MM_PER_INCH == pytest.approx(100.0, abs=0.1)


def test_labels_lie_where_the_sheet_has_them_to_a_tenth(archive: Archive, tmp_path: Path) -> None:
    grid = grid_on("Letter", "2x3", label_mm=(80.3, 60.7), edge_mm=(12.4, 20.6), between_mm=(7.2, 5.1))
    order = LabelOrder("Sallow", tuple(tag_labels(archive, "2-4")), grid=grid, frames=True, nudge_mm=(0.3, -0.2))

    [page] = pages_of(write_labels(archive, tmp_path / "labels.pdf", order, paper="Letter").path, 600)

    inked = page < 230
    columns = np.flatnonzero(inked[: inked.shape[0] * 3 // 4].mean(axis=0) > 0.6)
    lines = [run.mean() for run in np.split(columns, np.flatnonzero(np.diff(columns) > 5) + 1)]
    expected = [12.7, 93.0, 100.2, 180.5]
    assert [(line + 0.5) / 600 * MM_PER_INCH for line in lines] == pytest.approx(expected, abs=0.1)
