"""The face of a label: a number as large as there is room for, its marker, and a few words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from asfound.core.sheets.labels.content import BagLabel, BeltLabel, Bits, Label, TagLabel
from asfound.core.sheets.marks import BLACK, Mark, Shape, Words, rectangle
from asfound.core.sheets.measures import POINTS_PER_MM
from asfound.core.sheets.setting import Setting

EDGE_MM = 1.2
"""Bare paper round what is printed: stickers are cut with a tolerance of about a millimetre (common practice)."""

SMALL_PT = 6.5
"""The least type that is still read on a label in the hand (common practice)."""

WORDS_PT = 9.0
"""Type of names and contents where there is room for it."""

_ROOMY_MM = 30.0
"""A label as high as this has room for the larger type."""

BAR_MM = 0.9
_LARGEST_PT = 60.0
_SMALLEST_PT = 5.0
_MARKER_SHARE = 0.42
"""Of the width of a face, at most so much goes to the marker: the number is the truth, the marker a help."""

_NAME_SHARE = 0.24
"""Of the height of a face, so much goes to the name below the number."""

_ARROW_SHARE = 0.34


@dataclass(frozen=True, slots=True)
class FaceBox:
    """An upright rectangle of paper, in millimetres from the page's top left corner."""

    x_mm: float
    y_mm: float
    w_mm: float
    h_mm: float

    def inset(self, by_mm: float) -> FaceBox:
        """The same, smaller on every side."""
        return FaceBox(self.x_mm + by_mm, self.y_mm + by_mm, self.w_mm - 2 * by_mm, self.h_mm - 2 * by_mm)


def face(label: Label, box: FaceBox, setting: Setting) -> list[Mark]:
    """Everything on one label, inside its box."""
    room = box.inset(min(EDGE_MM, box.h_mm * 0.08))
    if isinstance(label, TagLabel):
        return list(_tag_face(label, room, setting))
    if isinstance(label, BeltLabel):
        return list(_belt_face(label, room, setting))
    return list(_bag_face(label, room, setting))


def number_marks(words: str, box: FaceBox, setting: Setting, *, has_bar: bool) -> Iterator[Mark]:
    """A number as large as the box lets it be, in its middle, with a bar below when it has one."""
    below = BAR_MM * 2 if has_bar else 0.0
    size = number_pt(words, box.w_mm, box.h_mm - below, setting)
    wide = setting.width_mm(words, size, bold=True)
    capital = size * setting.ruler.capital_frac / POINTS_PER_MM
    left = box.x_mm + (box.w_mm - wide) / 2
    base = box.y_mm + (box.h_mm - below + capital) / 2
    yield Words(left, base, words, size, bold=True)
    if has_bar:
        yield rectangle(left, base + BAR_MM, wide, BAR_MM, fill=BLACK, ink=None)


def number_pt(words: str, wide_mm: float, high_mm: float, setting: Setting) -> float:
    """Largest size of type at which words fit into a box."""
    by_height = high_mm * POINTS_PER_MM / setting.ruler.capital_frac
    by_width = wide_mm / max(setting.width_mm(words, 1.0, bold=True), 1e-6)
    return max(_SMALLEST_PT, min(_LARGEST_PT, by_height, by_width))


def marker_marks(bits: Bits, x_mm: float, y_mm: float, side_mm: float) -> Iterator[Shape]:
    """The cells of a marker; `side_mm` is the side of its black border, the white edge lies outside it.

    Black cells are drawn as runs along the rows and again down the columns, so that no viewer shows a seam of
    background where two of them meet.
    """
    cell = side_mm / len(bits)
    for row, cells in enumerate(bits):
        for first, count in _runs(cells):
            yield rectangle(x_mm + first * cell, y_mm + row * cell, count * cell, cell, fill=BLACK, ink=None)
    for column, cells in enumerate(zip(*bits, strict=True)):
        for first, count in _runs(cells):
            if count > 1:
                yield rectangle(x_mm + column * cell, y_mm + first * cell, cell, count * cell, fill=BLACK, ink=None)


def marker_room_mm(bits: Bits) -> float:
    """Side of a marker with its white edge, as a multiple of its black border's side."""
    return (len(bits) + 2) / len(bits)


def _tag_face(label: TagLabel, room: FaceBox, setting: Setting) -> Iterator[Mark]:
    left = room.x_mm
    if label.marker is not None:
        outer = min(room.h_mm, room.w_mm * _MARKER_SHARE)
        side = outer / marker_room_mm(label.marker)
        yield from marker_marks(label.marker, left + (outer - side) / 2, room.y_mm + (room.h_mm - side) / 2, side)
        left += outer + EDGE_MM
    wide = room.x_mm + room.w_mm - left
    size = _words_pt(room)
    named = room.h_mm * _NAME_SHARE if label.name else 0.0
    lines = _fitting(label.name, wide, named, size, setting)
    named = len(lines) * setting.line_mm(size)
    yield from number_marks(
        label.big, FaceBox(left, room.y_mm, wide, room.h_mm - named), setting, has_bar=label.has_bar
    )
    yield from _small(lines, left, room.y_mm + room.h_mm - named, size, setting)


def _bag_face(label: BagLabel, room: FaceBox, setting: Setting) -> Iterator[Mark]:
    size = _words_pt(room)
    head = min(room.h_mm * 0.42, 14.0)
    wide = min(room.w_mm * 0.4, setting.width_mm(label.big, number_pt(label.big, 1e3, head, setting), bold=True))
    yield from number_marks(label.big, FaceBox(room.x_mm, room.y_mm, wide, head), setting, has_bar=False)
    beside = FaceBox(room.x_mm + wide + 2.0, room.y_mm, room.w_mm - wide - 2.0, head)
    yield from _column(label.lines[:1], beside, size, setting, bold=True)
    below = FaceBox(room.x_mm, room.y_mm + head + 0.8, room.w_mm, room.h_mm - head - 0.8)
    yield from _column(label.lines[1:], below, size, setting)


def _belt_face(label: BeltLabel, room: FaceBox, setting: Setting) -> Iterator[Mark]:
    size = _words_pt(room)
    high = room.h_mm * _ARROW_SHARE
    yield _arrow(FaceBox(room.x_mm, room.y_mm, room.w_mm, high))
    wide = min(room.w_mm * 0.35, setting.width_mm(label.big, 36.0, bold=True))
    below = FaceBox(room.x_mm, room.y_mm + high + 0.8, room.w_mm, room.h_mm - high - 0.8)
    yield from number_marks(label.big, FaceBox(below.x_mm, below.y_mm, wide, below.h_mm), setting, has_bar=False)
    beside = FaceBox(below.x_mm + wide + 2.0, below.y_mm, below.w_mm - wide - 2.0, below.h_mm)
    yield from _column(label.lines, beside, size, setting)


def _column(
    texts: tuple[str, ...], box: FaceBox, size_pt: float, setting: Setting, *, bold: bool = False
) -> Iterator[Words]:
    """Texts one below the other, as many lines as the box has room for."""
    top = box.y_mm
    for text in texts:
        lines = _fitting(text, box.w_mm, box.y_mm + box.h_mm - top, size_pt, setting, bold=bold)
        yield from _small(lines, box.x_mm, top, size_pt, setting, bold=bold)
        top += len(lines) * setting.line_mm(size_pt)


def _words_pt(room: FaceBox) -> float:
    return WORDS_PT if room.h_mm >= _ROOMY_MM else SMALL_PT


def _arrow(box: FaceBox) -> Shape:
    """An arrow from left to right."""
    head, middle = box.h_mm * 0.9, box.y_mm + box.h_mm / 2
    neck, thick = box.x_mm + box.w_mm - head, box.h_mm * 0.36
    right = box.x_mm + box.w_mm
    points = (
        (box.x_mm, middle - thick / 2), (neck, middle - thick / 2), (neck, box.y_mm), (right, middle),
        (neck, box.y_mm + box.h_mm), (neck, middle + thick / 2), (box.x_mm, middle + thick / 2),
    )  # fmt: skip
    return Shape(points, BLACK, None)


def _fitting(
    text: str, wide_mm: float, high_mm: float, size_pt: float, setting: Setting, *, bold: bool = False
) -> list[str]:
    """As many lines as there is room for; what is cut ends with an ellipsis."""
    most = int(high_mm / setting.line_mm(size_pt) + 1e-6)
    if not text or most < 1:
        return []
    lines = setting.wrap(text, wide_mm, size_pt, bold=bold)
    if len(lines) <= most:
        return lines
    last = lines[most - 1]
    while last and setting.width_mm(f"{last}…", size_pt, bold=bold) > wide_mm:
        last = last[:-1]
    return [*lines[: most - 1], f"{last.rstrip(' ,;')}…"]


def _small(
    lines: list[str], x_mm: float, top_mm: float, size_pt: float, setting: Setting, *, bold: bool = False
) -> Iterator[Words]:
    for count, words in enumerate(lines):
        base = top_mm + count * setting.line_mm(size_pt) + setting.base_mm(size_pt)
        yield Words(x_mm, base, words, size_pt, bold=bold)


def _runs(cells: tuple[bool, ...]) -> Iterator[tuple[int, int]]:
    """(first, count) of each run of true cells."""
    first = None
    for at, cell in enumerate((*cells, False)):
        if cell and first is None:
            first = at
        elif not cell and first is not None:
            yield first, at - first
            first = None
