"""Pictures on paper: a window of one, with rings around its pins and labels that hide neither rings nor each other."""

from __future__ import annotations

from collections.abc import Sequence

from asfound.core.sheets.blocks import Block
from asfound.core.sheets.book.content import Pinned, Shown
from asfound.core.sheets.crops import Window, fitted_mm
from asfound.core.sheets.marks import BLACK, WHITE, Mark, PictureMark, Ring, Words, rectangle
from asfound.core.sheets.setting import Setting

MISSING = "Cannot be read here:"
RING_MM = 3.4
COVERED_MM = 10.0
"""How far aside a label goes rather than cover a ring or another label."""

Area = tuple[float, float, float, float]
"""Left, top, right, bottom in millimetres of the printed picture."""


def picture_block(
    setting: Setting, shown: Shown, window: Window, room_mm: tuple[float, float], pins: Sequence[Pinned]
) -> Block:
    """A window of a picture as large as the room allows, with the pins that lie in it."""
    wide, high = fitted_mm(window, shown.size_px, room_mm)
    marks: list[Mark] = [PictureMark(0.0, 0.0, wide, high, shown.picture_id, window, f"{MISSING} {shown.file}")]
    radius = min(RING_MM, wide / 8)
    placed = [(pin, *window.place(pin.x_frac, pin.y_frac)) for pin in pins]
    inside = [(pin, x * wide, y * high) for pin, x, y in placed if 0 <= x <= 1 and 0 <= y <= 1]
    for pin, x, y in inside:
        marks += [Ring(x, y, radius, 1.0, WHITE), Ring(x, y, radius, 0.45, BLACK, 0.0 if pin.is_said else 1.2)]
    taken: list[Area] = [(x - radius, y - radius, x + radius, y + radius) for _pin, x, y in inside]
    size = setting.body_pt if wide > 40 else setting.small_pt
    for pin, x, y in inside:
        label = pin.label if pin.is_said else f"{pin.label}?"
        off = radius + 0.7
        label_mm = label_size_mm(setting, label, size)
        left, top = _beside(_around((x, y), off, label_mm), label_mm, (wide, high), taken)
        marks += label_marks(setting, label, size, (left, top))
        taken.append((left, top, left + label_mm[0], top + label_mm[1]))
    return Block(high, tuple(marks))


def corner_label(
    setting: Setting, label: str, box: Area, picture_mm: tuple[float, float], taken: list[Area], *, jump: str = ""
) -> list[Mark]:
    """A label in that corner of a box where it covers no other one; `taken` learns of it."""
    size = setting.small_pt
    wide, high = label_size_mm(setting, label, size)
    left, top, right, bottom = box
    corners = [(left, top), (right - wide, top), (left, bottom - high), (right - wide, bottom - high)]
    outside = [(left, top - high), (left, bottom), (right, top), (left - wide, top)]
    x, y = _beside([*corners, *outside], (wide, high), picture_mm, taken)
    taken.append((x, y, x + wide, y + high))
    return label_marks(setting, label, size, (x, y), jump=jump)


def label_size_mm(setting: Setting, label: str, size_pt: float) -> tuple[float, float]:
    """Width and height of a label with its frame."""
    return setting.width_mm(label, size_pt, bold=True) + 1.6, setting.line_mm(size_pt) * 0.92


def label_marks(
    setting: Setting, label: str, size_pt: float, at_mm: tuple[float, float], *, jump: str = ""
) -> list[Mark]:
    """Black on white in a frame, so that it is read on any picture."""
    wide, high = label_size_mm(setting, label, size_pt)
    left, top = at_mm
    base = top + setting.base_mm(size_pt) - (setting.line_mm(size_pt) - high) / 2
    return [
        rectangle(left, top, wide, high, fill=WHITE, width_mm=0.25),
        Words(left + 0.8, base, label, size_pt, True, jump=jump),
    ]


def _around(at_mm: tuple[float, float], off: float, label_mm: tuple[float, float]) -> list[tuple[float, float]]:
    """Places for a label around a ring, the best first: at its sides, above and below, then farther off."""
    (x, y), (wide, high) = at_mm, label_mm
    near = [
        (x + off, y - high / 2),
        (x - off - wide, y - high / 2),
        (x - wide / 2, y - off - high),
        (x - wide / 2, y + off),
    ]
    far = [(x + off, y + n * high) for n in (-1.5, 0.6, 1.7)] + [
        (x - off - wide, y + n * high) for n in (-1.5, 0.6, 1.7)
    ]
    return near + far


def _beside(
    choices: Sequence[tuple[float, float]],
    label_mm: tuple[float, float],
    picture_mm: tuple[float, float],
    taken: Sequence[Area],
) -> tuple[float, float]:
    """The first of the places that is inside the picture and covers nothing, else the least bad one."""
    (wide, high), costs, kept = label_mm, [], []
    for left, top in choices:
        x = min(max(left, 0.0), max(0.0, picture_mm[0] - wide))
        y = min(max(top, 0.0), max(0.0, picture_mm[1] - high))
        covered = sum(_meet((x, y, x + wide, y + high), other) for other in taken)
        costs.append(abs(left - x) + abs(top - y) + COVERED_MM * covered)
        kept.append((x, y))
    return kept[costs.index(min(costs))]


def _meet(one: Area, other: Area) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
