"""Labels on their sheets: where they lie, that nothing leaves its label, how long what goes round a cable is."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.sheets.kind import sheet_kinds
from asfound.core.sheets.labels.content import GRIDS, BagLabel, BeltLabel, Grid, Label, LabelOrder, TagLabel, grid_on
from asfound.core.sheets.labels.faces import FaceBox, face
from asfound.core.sheets.marks import Line, Mark, Shape, Sheets, Words
from asfound.core.sheets.measures import PAPERS_MM, POINTS_PER_MM
from asfound.core.sheets.setting import Setting
from asfound.errors import Misused
from tests.core.sheets.rulers import EvenRuler

RULER = EvenRuler()
CHECKS = tuple(tuple((row + column) % 2 == 0 for column in range(8)) for row in range(8))
LONG = "a hose that goes behind the tank and over the strainer " * 4


def lay(order: LabelOrder, paper: str = "A4") -> Sheets:
    return sheet_kinds()["labels"].lay_out(order, paper, RULER)


def ends(count: int) -> tuple[TagLabel, ...]:
    return tuple(TagLabel(str(number), end, "hose", False, CHECKS) for number in range(1, count + 1) for end in "AB")


def bounds(mark: Mark) -> tuple[float, float, float, float]:
    """Left, top, right, bottom in millimetres."""
    if isinstance(mark, Words):
        high = mark.size_pt * RULER.capital_frac / POINTS_PER_MM
        return (
            mark.x_mm,
            mark.y_mm - high,
            mark.x_mm + RULER.width_mm(mark.words, mark.size_pt, bold=mark.bold),
            mark.y_mm,
        )
    if isinstance(mark, Line):
        return mark.x_mm, mark.y_mm, mark.to_x_mm, mark.to_y_mm
    assert isinstance(mark, Shape)
    across, down = zip(*mark.points_mm, strict=True)
    return min(across), min(down), max(across), max(down)


def outside(marks: list[Mark], box: FaceBox) -> Iterator[Mark]:
    for mark in marks:
        left, top, right, bottom = bounds(mark)
        inside = left >= box.x_mm - 0.01 and right <= box.x_mm + box.w_mm + 0.01
        if not (inside and top >= box.y_mm - 0.01 and bottom <= box.y_mm + box.h_mm + 0.01):
            yield mark


LABELS: list[Label] = [
    TagLabel("6", "A", LONG, True, CHECKS),
    TagLabel("1234x", None, LONG, False, None),
    BagLabel("B12", (LONG, LONG, "8 pieces", "for 31, 32")),
    BeltLabel("43", (LONG, "clockwise seen from the belt end")),
]


@given(
    label=st.sampled_from(LABELS),
    wide=st.floats(25, 120),
    high=st.floats(9, 60),
)
def test_nothing_leaves_its_label(label: Label, wide: float, high: float) -> None:
    box = FaceBox(10, 20, wide, high)

    assert not list(outside(face(label, box, Setting(RULER)), box))


@pytest.mark.parametrize(("paper", "name"), [(paper, name) for paper, some in GRIDS.items() for name in some])
def test_a_common_sheet_lies_in_the_middle_of_its_paper(paper: str, name: str) -> None:
    """Sheet sizes: common practice, no source; the paper is ISO 216 and ANSI Y14.1."""
    grid, (wide, high) = GRIDS[paper][name], PAPERS_MM[paper]
    right, bottom = grid.corner_mm(grid.count - 1)

    assert wide - right - grid.width_mm == pytest.approx(grid.left_mm, abs=0.1)
    assert high - bottom - grid.height_mm == pytest.approx(grid.top_mm, abs=0.1)


def test_labels_lie_where_the_sheet_has_them_and_a_nudge_moves_all_of_them() -> None:
    grid = Grid(2, 2, 40.0, 20.0, 10.0, 15.0, 3.0, 4.0)
    still = lay(LabelOrder("Sallow", ends(2), grid=grid, frames=True))
    moved = lay(LabelOrder("Sallow", ends(2), grid=grid, frames=True, nudge_mm=(0.4, -0.6)))

    frames = [bounds(mark)[:2] for mark in still.pages[0].marks if isinstance(mark, Shape) and mark.fill is None]
    assert frames == [(10.0, 15.0), (53.0, 15.0), (10.0, 39.0), (53.0, 39.0)]
    for one, other in zip(still.pages[0].marks, moved.pages[0].marks, strict=True):
        apart = [after - before for before, after in zip(bounds(one), bounds(other), strict=True)]
        assert apart == pytest.approx([0.4, -0.6, 0.4, -0.6])


def test_labels_used_already_are_left_bare() -> None:
    grid = Grid(2, 2, 40.0, 20.0, 10.0, 15.0)
    sheets = lay(LabelOrder("Sallow", ends(2), grid=grid, frames=True, skip=3))

    counts = [sum(isinstance(mark, Shape) and mark.fill is None for mark in page.marks) for page in sheets.pages]
    assert counts == [1, 3]


@pytest.mark.parametrize("order", [
    LabelOrder("Sallow", ends(40), grid=GRIDS["A4"]["3x7"]),
    LabelOrder("Sallow", ends(40), shape="flag"),
    LabelOrder("Sallow", ends(40), shape="band", cable_mm=30),
])  # fmt: skip
def test_every_sheet_has_a_bar_of_100_mm(order: LabelOrder) -> None:
    for page in lay(order).pages:
        bars = [mark for mark in page.marks if isinstance(mark, Line) and mark.width_mm == 0.3]
        assert [round(bar.to_x_mm - bar.x_mm, 3) for bar in bars] == [100.0]


def test_a_sheet_without_room_at_its_foot_has_the_bar_on_a_page_of_its_own() -> None:
    grid = grid_on("A4", "2x5", label_mm=(105.0, 59.4))

    pages = lay(LabelOrder("Sallow", ends(5), grid=grid)).pages

    assert len(pages) == 2
    assert any(isinstance(mark, Line) for mark in pages[1].marks)


def test_a_flag_is_as_long_as_the_cable_and_its_halves_want() -> None:
    """14 mm cable, two halves of 25 mm: 94.0 mm, for pi x 14 + 2 x 25 (arithmetic)."""
    sheets = lay(LabelOrder("Sallow", ends(1), shape="flag", cable_mm=14, flag_mm=25, tape_mm=12))

    assert sheets.width_mm == pytest.approx(94.0, abs=0.05)
    assert sheets.height_mm == 12


def test_both_halves_of_a_flag_show_the_number_and_the_middle_is_bare() -> None:
    sheets = lay(LabelOrder("Sallow", (TagLabel("17", "A", "", False, CHECKS),), shape="flag", cable_mm=14, tape_mm=12))

    words = [mark for mark in sheets.pages[0].marks if isinstance(mark, Words)]
    assert [mark.words for mark in words] == ["17A", "17A"]
    for mark in sheets.pages[0].marks:
        left, _top, right, _bottom = bounds(mark)
        assert right <= 25.01 or left >= 94.0 - 25.05


def test_a_band_round_a_thin_cable_has_no_marker_for_a_bent_one_cannot_be_read() -> None:
    def cells(cable_mm: float) -> int:
        order = LabelOrder("Sallow", (TagLabel("17", "A", "", False, CHECKS),), shape="band", cable_mm=cable_mm)
        return sum(isinstance(mark, Shape) and mark.fill is not None for mark in lay(order).pages[0].marks)

    assert cells(10) == 0
    assert cells(40) > 20


def test_a_flag_too_long_for_the_paper_is_refused_with_what_to_do() -> None:
    with pytest.raises(Misused, match="--tape"):
        lay(LabelOrder("Sallow", ends(1), shape="flag", cable_mm=100))


@pytest.mark.parametrize(("sheet", "sizes", "why"), [
    ("4x9", {}, "no common sheet"),
    ("3x7", {"label_mm": (90.0, 38.1)}, "over the edge"),
    ("seven", {"label_mm": (60.0, 38.1)}, "columns x rows"),
    ("3x7", {"label_mm": (60.0, 0.0)}, "no size"),
    ("3x7", {"label_mm": (60.0, 30.0), "edge_mm": (-2.0, 5.0)}, "below 0"),
])  # fmt: skip
def test_a_sheet_that_cannot_be_is_refused(sheet: str, sizes: dict[str, tuple[float, float]], why: str) -> None:
    with pytest.raises(Misused, match=why):
        grid_on("A4", sheet, **sizes)


def test_all_labels_on_tape_have_one_length_and_the_tape_s_height() -> None:
    for tape in (9.0, 12.0, 18.0, 24.0):
        sheets = lay(LabelOrder("Sallow", ends(3), tape_mm=tape))
        box = FaceBox(0, 0, sheets.width_mm, tape)
        assert len(sheets.pages) == 6
        assert not [mark for page in sheets.pages for mark in outside(list(page.marks), box)]
