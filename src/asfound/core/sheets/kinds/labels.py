"""Labels true to size: stickers, cable flags, bands, bag and belt labels, on sheets or as tape."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TypeVar

from asfound.core.sheets.kind import SheetKind
from asfound.core.sheets.labels.content import Grid, Label, LabelOrder, TagLabel
from asfound.core.sheets.labels.faces import (
    SMALL_PT,
    FaceBox,
    face,
    marker_marks,
    marker_room_mm,
    number_marks,
    number_pt,
)
from asfound.core.sheets.marks import FAINT, Line, Mark, Page, Ruler, Sheets, Words, rectangle, shifted
from asfound.core.sheets.measures import PAPERS_MM, flag_length_mm
from asfound.core.sheets.setting import Setting
from asfound.errors import Misused

T = TypeVar("T")

CHECK_MM = 100.0
CHECK_WORDS = "This bar is 100 mm long. Measure it: if it is not, print again at 100 % (actual size)."
EDGE_MM = 6.0
"""From the paper's edge to what is printed where nothing else says so: most printers leave 5 mm bare."""

OVERLAP_MM = 8.0
"""How far a band goes over its own beginning, to hold."""

LEAST_BAND_MARKER_MM = 8.0
"""Below that a phone held at half a metre does not read a marker: 8 px a millimetre there, 28 px or more are read."""

_BAR_ROOM_MM = 8.0
_CUT = 0.1
_TICK = 0.2
_TAPE_EDGE_MM = 2.0
_TAPE_NAME_MM = 30.0


def lay_out(order: LabelOrder, paper: str, ruler: Ruler) -> Sheets:
    """Lay labels out on sheets of a paper, or one to a page of tape.

    Raises
    ------
    Misused
        If a label is longer than the paper is wide.
    """
    setting = Setting(ruler)
    if order.tape_mm is not None:
        return _tape(order, order.tape_mm, setting)
    wide, high = PAPERS_MM[paper]
    if order.shape == "sticker" and order.grid is not None:
        pages = list(_stickers(order, order.grid, paper, setting))
    else:
        pages = list(_rows(order, paper, setting))
    nudged = (Page(tuple(shifted(mark, *order.nudge_mm) for mark in page.marks)) for page in pages)
    return Sheets(order.title, wide, high, tuple(nudged))


def _stickers(order: LabelOrder, grid: Grid, paper: str, setting: Setting) -> Iterator[Page]:
    high = PAPERS_MM[paper][1]
    below = high - grid.corner_mm(grid.count - 1)[1] - grid.height_mm
    places: list[Label | None] = [*[None] * (order.skip % grid.count), *order.labels]
    for some in _in_lots(places, grid.count):
        marks: list[Mark] = []
        for place, label in enumerate(some):
            if label is None:
                continue
            box = FaceBox(*grid.corner_mm(place), grid.width_mm, grid.height_mm)
            marks += face(label, box, setting)
            if order.frames:
                marks.append(_frame(box))
        if below >= _BAR_ROOM_MM:
            marks += _check_bar(EDGE_MM, high - EDGE_MM, setting)
        yield Page(tuple(marks))
    if below < _BAR_ROOM_MM:
        yield Page(tuple(_check_bar(EDGE_MM + 4, 40.0, setting)))


def _rows(order: LabelOrder, paper: str, setting: Setting) -> Iterator[Page]:
    """Flags or bands on plain paper or an uncut sticker sheet, with lines to cut along."""
    wide, high = PAPERS_MM[paper]
    length = _length_mm(order)
    columns = int((wide - 2 * EDGE_MM + 0.01) / length)
    if columns < 1:
        raise Misused(
            f"A {order.shape} for a cable of {order.cable_mm:g} mm is {length:.0f} mm long and {paper} has "
            f"{wide - 2 * EDGE_MM:.0f} mm of room: take a smaller --flag, or --tape."
        )
    rows = int((high - 2 * EDGE_MM - _BAR_ROOM_MM) / order.height_mm)
    for some in _in_lots(order.labels, columns * rows):
        marks: list[Mark] = []
        for place, label in enumerate(some):
            row, column = divmod(place, columns)
            box = FaceBox(EDGE_MM + column * length, EDGE_MM + row * order.height_mm, length, order.height_mm)
            marks += [_frame(box), *_round_cable(order, label, box, setting)]
        marks += _check_bar(EDGE_MM, high - EDGE_MM, setting)
        yield Page(tuple(marks))


def _tape(order: LabelOrder, tape_mm: float, setting: Setting) -> Sheets:
    """One label a page, all of one length, so that the printer cuts them by itself."""
    if order.shape == "sticker":
        length = max(_sticker_mm(label, tape_mm, setting) for label in order.labels)
    else:
        length = _length_mm(order)
    pages = []
    for label in order.labels:
        box = FaceBox(0.0, 0.0, length, tape_mm)
        marks = face(label, box, setting) if order.shape == "sticker" else _round_cable(order, label, box, setting)
        pages.append(Page(tuple(marks)))
    return Sheets(order.title, length, tape_mm, tuple(pages))


def _sticker_mm(label: Label, tape_mm: float, setting: Setting) -> float:
    """Length of a label on tape: its marker, its number at the tape's height, and room for a name."""
    high = tape_mm - _TAPE_EDGE_MM
    number = setting.width_mm(label.big, number_pt(label.big, 1e3, high * 0.7, setting), bold=True)
    if isinstance(label, TagLabel):
        marker = high if label.marker is not None else 0.0
        # The marker has its share of the face at most, so the face is long enough to give it the tape's height.
        return max(marker / 0.4, marker + number + 3 * _TAPE_EDGE_MM)
    return number + _TAPE_NAME_MM + 2 * _TAPE_EDGE_MM


def _length_mm(order: LabelOrder) -> float:
    if order.shape == "flag":
        return flag_length_mm(order.cable_mm, order.flag_mm)
    return flag_length_mm(order.cable_mm, OVERLAP_MM / 2)


def _round_cable(order: LabelOrder, label: Label, box: FaceBox, setting: Setting) -> list[Mark]:
    return list(_flag(order, label, box, setting) if order.shape == "flag" else _band(order, label, box, setting))


def _flag(order: LabelOrder, label: Label, box: FaceBox, setting: Setting) -> Iterator[Mark]:
    """The same face on both halves; the bare middle goes round the cable, and the halves are stuck together."""
    for left in (box.x_mm, box.x_mm + box.w_mm - order.flag_mm):
        yield from face(label, FaceBox(left, box.y_mm, order.flag_mm, box.h_mm), setting)
    for fold in (box.x_mm + order.flag_mm, box.x_mm + box.w_mm - order.flag_mm):
        yield Line(fold, box.y_mm, fold, box.y_mm + box.h_mm, _CUT, FAINT, dash_mm=1.0)


def _band(order: LabelOrder, label: Label, box: FaceBox, setting: Setting) -> Iterator[Mark]:
    """The number again and again round the cable, so that it is read from every side.

    A marker that is bent cannot be read, so a band has one only where the cable is thick: no wider than a third of it.
    """
    marker = label.marker if isinstance(label, TagLabel) else None
    left, right = box.x_mm, box.x_mm + box.w_mm - OVERLAP_MM
    flat = order.cable_mm / 3
    if marker is not None and flat >= LEAST_BAND_MARKER_MM:
        side = min(flat, (box.h_mm - 2.0) / marker_room_mm(marker))
        white = side * (marker_room_mm(marker) - 1) / 2
        yield from marker_marks(marker, left + white, box.y_mm + (box.h_mm - side) / 2, side)
        left += side + 2 * white
    size = number_pt(label.big, 1e3, box.h_mm * 0.6, setting)
    each = setting.width_mm(label.big, size, bold=True) + 4.0
    count = max(1, int((right - left) / each))
    step = (right - left) / count
    for at in range(count):
        place = FaceBox(left + at * step + 1.0, box.y_mm + box.h_mm * 0.15, step - 2.0, box.h_mm * 0.7)
        yield from number_marks(label.big, place, setting, has_bar=isinstance(label, TagLabel) and label.has_bar)
    edge = box.x_mm + box.w_mm - OVERLAP_MM
    yield Line(edge, box.y_mm, edge, box.y_mm + box.h_mm, _CUT, FAINT, dash_mm=1.0)


def _frame(box: FaceBox) -> Mark:
    return rectangle(box.x_mm, box.y_mm, box.w_mm, box.h_mm, ink=FAINT, width_mm=_CUT)


def _check_bar(x_mm: float, y_mm: float, setting: Setting) -> Iterator[Mark]:
    """A bar to measure, with its ends marked; `y_mm` is its line."""
    yield Line(x_mm, y_mm, x_mm + CHECK_MM, y_mm, 0.3)
    # The ends lie inside, so that the bar is as long as it says from outer edge to outer edge.
    for end in (x_mm + _TICK / 2, x_mm + CHECK_MM - _TICK / 2):
        yield Line(end, y_mm - 1.5, end, y_mm + 0.15, _TICK)
    lines = setting.wrap(CHECK_WORDS, 78.0, SMALL_PT)
    above = (len(lines) - 1) * setting.line_mm(SMALL_PT)
    yield from (
        Words(x_mm + CHECK_MM + 3.0, y_mm - above + count * setting.line_mm(SMALL_PT), words, SMALL_PT)
        for count, words in enumerate(lines)
    )


def _in_lots(some: Sequence[T], most: int) -> Iterator[Sequence[T]]:
    for first in range(0, len(some), most):
        yield some[first : first + most]


SHEET = SheetKind("labels", lay_out)
