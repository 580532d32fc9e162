"""Every kind of sheet, found by being in its folder: inside the paper, readable, the same each time."""

from __future__ import annotations

from typing import Any

import pytest

from asfound.core.sheets.book.content import BookContent
from asfound.core.sheets.flow import CLEAR_MM
from asfound.core.sheets.kind import SheetKind, sheet_kinds
from asfound.core.sheets.labels.content import BagLabel, Grid, LabelOrder, TagLabel
from asfound.core.sheets.marks import Line, Mark, PictureMark, Ring, Shape, Sheets, Words
from asfound.core.sheets.measures import PAPERS_MM
from asfound.output.paper.fonts import FontRuler
from tests.core.sheets.books import ANYWHERE, LONG, UNBROKEN, book_of_odd_things

SAMPLES: dict[str, list[Any]] = {
    "book": [
        book_of_odd_things(),
        BookContent(job="", front_means="", left_means="", turning_means="", printed="2026-04-26"),
    ],
    "labels": [
        LabelOrder(
            ANYWHERE,
            (TagLabel("6", "A", ANYWHERE, True), BagLabel("B4", (LONG, UNBROKEN))),
            grid=Grid(2, 3, 90, 60, 15, 15),
        ),
        LabelOrder("", (TagLabel("17", None, UNBROKEN),), "flag"),
    ],
}
"""Content for each kind: what is hardest to lay out, and nothing at all."""

CASES = [
    pytest.param(kind, content, paper, id=f"{name} {at} {paper}")
    for name, kind in sheet_kinds().items()
    for at, content in enumerate(SAMPLES.get(name, []))
    for paper in PAPERS_MM
]


def test_every_kind_has_samples() -> None:
    assert set(SAMPLES) == set(sheet_kinds())


@pytest.mark.parametrize(("kind", "content", "paper"), CASES)
def test_sheet_keeps_clear_of_the_edges(kind: SheetKind, content: Any, paper: str) -> None:
    sheets = kind.lay_out(content, paper, FontRuler())

    assert (sheets.width_mm, sheets.height_mm) == PAPERS_MM[paper]
    for number, page in enumerate(sheets.pages, 1):
        for mark in page.marks:
            left, top, right, bottom = _extent(mark)
            assert left >= CLEAR_MM - 0.01, (number, mark)
            assert top >= CLEAR_MM - 0.01, (number, mark)
            assert right <= sheets.width_mm - CLEAR_MM + 0.01, (number, mark)
            assert bottom <= sheets.height_mm - CLEAR_MM + 0.01, (number, mark)


@pytest.mark.parametrize(("kind", "content", "paper"), CASES)
def test_words_are_never_printed_over_words(kind: SheetKind, content: Any, paper: str) -> None:
    for number, page in enumerate(_laid(kind, content, paper).pages, 1):
        # Labels on pictures are placed by their own rules; everything else stands in lines.
        lines = [mark for mark in page.marks if isinstance(mark, Words) and mark.words.strip()]
        areas = [(mark, _extent(mark)) for mark in lines if not _is_on_picture(mark, page.marks)]
        for at, (one, area) in enumerate(areas):
            for other, its in areas[at + 1 :]:
                assert not _meet(area, its), (number, one.words, other.words)


@pytest.mark.parametrize(("kind", "content", "paper"), CASES)
def test_every_jump_leads_to_an_anchor(kind: SheetKind, content: Any, paper: str) -> None:
    sheets = _laid(kind, content, paper)

    jumps = {mark.jump for page in sheets.pages for mark in page.marks if isinstance(mark, Words) and mark.jump}
    assert jumps <= set(sheets.anchor_pages)


@pytest.mark.parametrize(("kind", "content", "paper"), CASES)
def test_sheet_is_the_same_each_time(kind: SheetKind, content: Any, paper: str) -> None:
    assert _laid(kind, content, paper) == _laid(kind, content, paper)


def _laid(kind: SheetKind, content: Any, paper: str) -> Sheets:
    return kind.lay_out(content, paper, FontRuler())


def _extent(mark: Mark) -> tuple[float, float, float, float]:
    if isinstance(mark, Words):
        capital = mark.size_pt * FontRuler().capital_frac / 72 * 25.4
        wide = FontRuler().width_mm(mark.words, mark.size_pt, bold=mark.bold)
        return mark.x_mm, mark.y_mm - capital, mark.x_mm + wide, mark.y_mm
    if isinstance(mark, Line):
        xs, ys = sorted((mark.x_mm, mark.to_x_mm)), sorted((mark.y_mm, mark.to_y_mm))
        return xs[0], ys[0], xs[1], ys[1]
    if isinstance(mark, Shape):
        return (
            *(min(point[axis] for point in mark.points_mm) for axis in (0, 1)),
            *(max(point[axis] for point in mark.points_mm) for axis in (0, 1)),
        )  # type: ignore[return-value]
    if isinstance(mark, Ring):
        return mark.x_mm, mark.y_mm, mark.x_mm, mark.y_mm
    return mark.x_mm, mark.y_mm, mark.x_mm + mark.w_mm, mark.y_mm + mark.h_mm


def _meet(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    slack = 0.05
    return (
        one[0] < other[2] - slack
        and other[0] < one[2] - slack
        and one[1] < other[3] - slack
        and other[1] < one[3] - slack
    )


def _is_on_picture(mark: Words, marks: tuple[Mark, ...]) -> bool:
    area = _extent(mark)
    return any(isinstance(other, PictureMark) and _meet(area, _extent(other)) for other in marks)
