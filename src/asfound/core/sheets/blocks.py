"""Blocks: pieces of a page as wide as its column, each drawn from its own top left corner, one below the other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from asfound.core.sheets.marks import BLACK, FAINT, GREY, Ink, Line, Mark, Words, rectangle, shifted
from asfound.core.sheets.setting import Setting

TICK_MM = 4.2
"""Side of a box to tick: a pencil in a gloved hand hits it."""

TICK_ROOM_MM = 6.5
WRITING_MM = 8.0
"""Height of a line to write on by hand; 8 mm is the wide ruling of school paper (common practice)."""


@dataclass(frozen=True, slots=True)
class Block:
    """A piece that is never broken; its marks count from its own top left corner.

    Attributes
    ----------
    heading : str
        The section that begins with it, for the list of contents beside the pages.
    """

    height_mm: float
    marks: tuple[Mark, ...] = ()
    anchors: tuple[str, ...] = ()
    heading: str = ""


@dataclass(frozen=True, slots=True)
class Group:
    """Blocks that stay on one page where they fit on one; otherwise they are broken between blocks.

    Attributes
    ----------
    with_next : bool
        Never the last on a page: a heading.
    new_page : bool
        Begins on a page of its own.
    """

    blocks: tuple[Block, ...]
    with_next: bool = False
    new_page: bool = False

    @property
    def height_mm(self) -> float:
        """Height of all blocks together, in millimetres."""
        return sum(block.height_mm for block in self.blocks)


@dataclass(frozen=True, slots=True)
class Cell:
    """Words in a column of a table."""

    words: str
    width_mm: float
    bold: bool = False
    jump: str = ""


def together(blocks: Iterable[Block], *, with_next: bool = False) -> Group:
    """Blocks that belong together."""
    return Group(tuple(blocks), with_next)


def stacked(blocks: Iterable[Block]) -> Block:
    """Several blocks as one."""
    marks: list[Mark] = []
    anchors: list[str] = []
    y = 0.0
    for block in blocks:
        marks += [shifted(mark, 0.0, y) for mark in block.marks]
        anchors += block.anchors
        y += block.height_mm
    return Block(y, tuple(marks), tuple(anchors))


def beside(columns: Sequence[tuple[float, Block]]) -> Block:
    """Blocks side by side, each from its own distance from the left."""
    marks = tuple(shifted(mark, x, 0.0) for x, block in columns for mark in block.marks)
    anchors = tuple(anchor for _x, block in columns for anchor in block.anchors)
    return Block(max(block.height_mm for _x, block in columns), marks, anchors)


def gap(height_mm: float) -> Block:
    """Nothing, so high."""
    return Block(height_mm)


def ruled(width_mm: float, *, ink: Ink = FAINT, line_mm: float = 0.2) -> Block:
    """A line across."""
    return Block(2.0, (Line(0.0, 1.0, width_mm, 1.0, line_mm, ink),))


def text(
    setting: Setting,
    words: str,
    width_mm: float,
    *,
    size_pt: float | None = None,
    bold: bool = False,
    indent_mm: float = 0.0,
    ink: Ink = BLACK,
    jump: str = "",
) -> list[Block]:
    """Words in as many lines as they need, a block each."""
    size = size_pt or setting.body_pt
    lines = setting.wrap(words, width_mm - indent_mm, size, bold=bold)
    base = setting.base_mm(size)
    return [Block(setting.line_mm(size), (Words(indent_mm, base, line, size, bold, ink, jump),)) for line in lines]


def led(
    setting: Setting, lead: str, words: str, width_mm: float, *, lead_mm: float, bold: bool = False, jump: str = ""
) -> list[Block]:
    """Words with a lead in front of them, in a column of its own: "sat  clamp screw up"; `bold` is the lead's."""
    size = setting.body_pt
    room = width_mm - lead_mm
    base = setting.base_mm(size)
    leads = setting.wrap(lead, lead_mm - 1.0, size, bold=bold)
    lines = setting.wrap(words, room, size)
    blocks = []
    for at in range(max(len(leads), len(lines))):
        marks: list[Mark] = []
        if at < len(leads):
            marks.append(Words(0.0, base, leads[at], size, bold, BLACK if bold else GREY))
        if at < len(lines):
            marks.append(Words(lead_mm, base, lines[at], size, jump=jump))
        blocks.append(Block(setting.line_mm(size), tuple(marks)))
    return blocks


def tick_line(setting: Setting, words: str, width_mm: float, *, jump: str = "") -> list[Block]:
    """A box to tick, with words behind it."""
    return boxed(text(setting, words, width_mm - TICK_ROOM_MM, jump=jump))


def boxed(lines: Sequence[Block]) -> list[Block]:
    """Lines behind a box to tick."""
    high = max(lines[0].height_mm, TICK_MM + 1.6)
    moved = [Block(line.height_mm, tuple(shifted(mark, TICK_ROOM_MM, 0.0) for mark in line.marks)) for line in lines]
    first = stacked([gap((high - lines[0].height_mm) / 2), moved[0]])
    box = rectangle(0.0, (high - TICK_MM) / 2, TICK_MM, TICK_MM, width_mm=0.3)
    return [Block(high, (box, *first.marks)), *moved[1:]]


def tick_boxes(setting: Setting, words: Sequence[str]) -> tuple[float, Block]:
    """Boxes to tick in one row, each before its word; with the width of the row."""
    size, x = setting.body_pt, 0.0
    high = max(setting.line_mm(size), TICK_MM + 1.0)
    marks: list[Mark] = []
    for word in words:
        marks.append(rectangle(x, (high - TICK_MM) / 2, TICK_MM, TICK_MM, width_mm=0.3))
        drop = (high - setting.line_mm(size)) / 2
        marks.append(Words(x + TICK_MM + 1.3, drop + setting.base_mm(size), word, size))
        x += TICK_MM + 1.3 + setting.width_mm(word, size) + 4.0
    return x - 4.0, Block(high, tuple(marks))


def writing_line(setting: Setting, words: str, width_mm: float) -> Block:
    """A line to write on by hand, after words that say what."""
    size = setting.body_pt
    stand = WRITING_MM - 2.0
    begin = setting.width_mm(words, size) + 1.5 if words else 0.0
    said = (Words(0.0, stand, words, size, ink=GREY),) if words else ()
    return Block(WRITING_MM, (*said, Line(begin, stand + 0.4, width_mm, stand + 0.4, 0.15, GREY)))


def table_row(setting: Setting, cells: Sequence[Cell], *, bold: bool = False, ink: Ink = BLACK) -> list[Block]:
    """A row of a table, a block for each line of its highest cell."""
    size, base = setting.body_pt, setting.base_mm(setting.body_pt)
    wrapped = [setting.wrap(cell.words, cell.width_mm - 2.0, size, bold=bold or cell.bold) for cell in cells]
    blocks = []
    for at in range(max(map(len, wrapped))):
        x, marks = 0.0, []
        for cell, lines in zip(cells, wrapped, strict=True):
            if at < len(lines) and lines[at]:
                marks.append(Words(x, base, lines[at], size, bold or cell.bold, ink, cell.jump))
            x += cell.width_mm
        blocks.append(Block(setting.line_mm(size), tuple(marks)))
    return blocks
