"""The walk round: how the whole machine was before anything came off, a picture beside its name."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.core.sheets.blocks import Block, Group, beside, gap, led, stacked, text, together
from asfound.core.sheets.book.content import BookContent, Shown, WalkEntry
from asfound.core.sheets.book.parts import Desk
from asfound.core.sheets.book.pictures import picture_block
from asfound.core.sheets.crops import WHOLE
from asfound.core.sheets.marks import GREY

WALK = "Walk round"
ROW_OF = 3
BETWEEN_MM = 3.0


def walk(desk: Desk, content: BookContent) -> Iterator[Group]:
    """Items with pictures in rows, then what is not here or was not photographed, a line each."""
    words = "How the machine was before anything came off, and what nobody photographed."
    yield from desk.section(WALK, words, WALK)
    cells = [(entry, shown) for entry in content.walk for shown in entry.pictures]
    for at in range(0, len(cells), ROW_OF):
        yield together([_row(desk, cells[at : at + ROW_OF]), gap(3.0)])
    for entry in content.walk:
        if not entry.pictures:
            yield together(led(desk.setting, entry.name, entry.words, desk.width_mm, lead_mm=38.0))
    if not content.walk:
        yield together(desk.text("Nothing is written down of it.", ink=GREY))


def _row(desk: Desk, cells: list[tuple[WalkEntry, Shown]]) -> Block:
    wide = (desk.width_mm - (ROW_OF - 1) * BETWEEN_MM) / ROW_OF
    return beside([(at * (wide + BETWEEN_MM), _cell(desk, *cell, wide)) for at, cell in enumerate(cells)])


def _cell(desk: Desk, entry: WalkEntry, shown: Shown, wide: float) -> Block:
    setting = desk.setting
    under = " · ".join(filter(None, (entry.words, shown.taken, shown.file)))
    return stacked(
        [
            picture_block(setting, shown, WHOLE, (wide, wide * 0.75), ()),
            gap(0.4),
            *text(setting, entry.name, wide, bold=True),
            *text(setting, under, wide, size_pt=setting.small_pt, ink=GREY),
        ]
    )
