"""Putting blocks on pages: the column, the margin for handwriting, what stands at the head and foot of each page."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from asfound.core.sheets.blocks import Block, Group
from asfound.core.sheets.marks import FAINT, GREY, Line, Mark, Page, Sheets, Words, shifted
from asfound.core.sheets.measures import PAPERS_MM
from asfound.core.sheets.setting import Setting

CLEAR_MM = 5.0
"""Printers leave this much of the edge white (common practice)."""

PUNCH_MM = 20.0
"""Left margin: holes of ISO 838 are punched 12 mm from the edge and are 6 mm wide."""

NOTES_MM = 30.0
"""Margin on the right for handwriting."""

TOP_MM, HEAD_MM, SIDE_MM = 17.0, 11.0, 8.0
FOOT_LINES = 3
MOST_PASSES = 6
LEAST_BEGUN_MM = 70.0

BuildUp = Callable[[Mapping[str, int]], Sequence[Group]]


@dataclass(frozen=True, slots=True)
class Frame:
    """Where things are on every page.

    Attributes
    ----------
    foot : tuple of str
        Lines at the foot of every page, the page's number after the first.
    """

    paper: str
    title: str
    foot: tuple[str, ...]
    setting: Setting

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the paper, in millimetres."""
        return PAPERS_MM[self.paper]

    @property
    def column_mm(self) -> float:
        """Width of the column of blocks."""
        return column_mm(self.paper)

    @property
    def bottom_mm(self) -> float:
        """Where the column ends."""
        return self.foot_mm - 2.0

    @property
    def foot_mm(self) -> float:
        """Where the foot begins."""
        return self.size_mm[1] - CLEAR_MM - 2.0 - FOOT_LINES * self.setting.line_mm(self.setting.small_pt)


def column_mm(paper: str) -> float:
    """Width of the column of blocks on a paper."""
    return PAPERS_MM[paper][0] - PUNCH_MM - NOTES_MM - SIDE_MM - 4.0


def flow(frame: Frame, build: BuildUp) -> Sheets:
    """Lay out until every reference to a page names the page that it is on.

    Parameters
    ----------
    build : callable
        From anchors to the numbers of their pages, empty at first, to the groups in order.
    """
    pages, seen = _place(frame, build({}))
    for _ in range(MOST_PASSES):
        known = seen
        pages, seen = _place(frame, build(known))
        if seen == known:
            break
    drawn = tuple(
        Page((*_around(frame, number, len(pages), page.running), *page.marks), tuple(page.anchors), page.heading)
        for number, page in enumerate(pages, 1)
    )
    return Sheets(frame.title, *frame.size_mm, drawn, seen)


class _Draft:
    """A page in the making."""

    def __init__(self, running: str) -> None:
        self.y_mm = TOP_MM
        self.marks: list[Mark] = []
        self.anchors: list[str] = []
        self.heading = ""
        self.running = running


def _place(frame: Frame, groups: Iterable[Group]) -> tuple[list[_Draft], dict[str, int]]:
    pages = [_Draft("")]
    waiting: list[Group] = []
    for group in groups:
        if group.with_next:
            waiting.append(group)
            continue
        _place_run(frame, pages, [*waiting, group])
        waiting = []
    _place_run(frame, pages, waiting)
    return pages, {anchor: number for number, page in enumerate(pages, 1) for anchor in page.anchors}


def _place_run(frame: Frame, pages: list[_Draft], run: Sequence[Group]) -> None:
    """Place groups that are kept together: headings with what follows them, at least its beginning."""
    if not run:
        return
    whole = sum(group.height_mm for group in run)
    least = whole if TOP_MM + whole <= frame.bottom_mm else _beginning(run)
    is_used = pages[-1].y_mm > TOP_MM
    if is_used and (run[0].new_page or pages[-1].y_mm + least > frame.bottom_mm):
        pages.append(_Draft(pages[-1].running))
    for group in run:
        for block in group.blocks:
            _put(frame, pages, block)


def _beginning(run: Sequence[Group]) -> float:
    """What must fit before a thing too high for one page begins on this one: headings and so much of what follows."""
    begun = 0.0
    for block in (block for group in run for block in group.blocks):
        begun += block.height_mm
        if begun >= LEAST_BEGUN_MM:
            break
    return begun


def _put(frame: Frame, pages: list[_Draft], block: Block) -> None:
    if pages[-1].y_mm + block.height_mm > frame.bottom_mm and pages[-1].y_mm > TOP_MM:
        pages.append(_Draft(pages[-1].running))
    page = pages[-1]
    page.marks += [shifted(mark, PUNCH_MM, page.y_mm) for mark in block.marks]
    page.anchors += block.anchors
    if block.heading:
        page.heading = page.heading or block.heading
        page.running = block.heading
    page.y_mm += block.height_mm


def _around(frame: Frame, number: int, count: int, running: str) -> list[Mark]:
    """The head, the foot, and the margin for handwriting."""
    setting, (width, height) = frame.setting, frame.size_mm
    size, right = setting.small_pt, width - SIDE_MM
    notes = right - NOTES_MM
    counted = f"page {number} of {count}"
    marks: list[Mark] = [
        Words(PUNCH_MM, HEAD_MM, running, size, ink=GREY),
        Words(notes + 1.0, TOP_MM + 2.0, "notes", size, ink=FAINT),
        Line(notes - 1.0, TOP_MM, notes - 1.0, frame.bottom_mm, 0.15, FAINT, 1.0),
        Line(PUNCH_MM, frame.foot_mm, right, frame.foot_mm, 0.15, GREY),
    ]
    # Two holes of ISO 838 stand 80 mm apart about the middle: ticks show where a stapled copy is to be punched.
    marks += [Line(CLEAR_MM, height / 2 + off, CLEAR_MM + 3, height / 2 + off, 0.15, FAINT) for off in (-40, 0, 40)]
    first, *rest = frame.foot
    counted_mm = setting.width_mm(counted, size, bold=True)
    y = frame.foot_mm + 0.8
    for line, room in ((first, right - PUNCH_MM - counted_mm - 4.0), *((line, right - PUNCH_MM) for line in rest)):
        marks.append(Words(PUNCH_MM, y + setting.base_mm(size), _cut(setting, line, room, size), size, ink=GREY))
        y += setting.line_mm(size)
    foot_y = frame.foot_mm + 0.8 + setting.base_mm(size)
    marks.append(Words(right - counted_mm, foot_y, counted, size, True))
    return marks


def _cut(setting: Setting, line: str, room_mm: float, size_pt: float) -> str:
    """A line that must not run over, with dots for what is left out."""
    if setting.width_mm(line, size_pt) <= room_mm:
        return line
    dots = "..."
    return setting.wrap(line, room_mm - setting.width_mm(dots, size_pt), size_pt)[0] + dots
