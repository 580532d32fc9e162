"""Pieces that several sections of the book are made of: headings, numbers, signal panels, pictures with pins."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from asfound.core.codes.caution_table import DEFER, Caution, SignalWord
from asfound.core.sheets.blocks import Block, Cell, Group, gap, stacked, table_row, text, together
from asfound.core.sheets.marks import BLACK, GREY, WHITE, Ink, Line, Mark, Shape, Words, rectangle
from asfound.core.sheets.measures import POINTS_PER_MM
from asfound.core.sheets.setting import Setting

DEFERRING = f"For each of these {DEFER}"

SIGNALS: dict[SignalWord, tuple[Ink, Ink]] = {
    "DANGER": ((0.78, 0.06, 0.18), WHITE),
    "WARNING": ((1.0, 0.51, 0.0), BLACK),
    "CAUTION": ((1.0, 0.82, 0.0), BLACK),
    "NOTICE": ((0.0, 0.34, 0.72), WHITE),
}
"""Panel and letters: ANSI Z535.4 asks for white on red, black on orange, black on yellow and white on blue (read in
secondary text); the shades are ours."""


@dataclass(frozen=True, slots=True)
class Desk:
    """What every section needs: type, the width of the column, and on which page things are.

    Attributes
    ----------
    pages : mapping
        Anchor to page; empty in the first pass.
    """

    setting: Setting
    width_mm: float
    pages: Mapping[str, int]

    def page(self, anchor: str) -> str:
        """Where an anchor is, in words; as wide in the first pass as it will be."""
        return (
            f"page\u00a0{self.pages.get(anchor, 88)}" if anchor in self.pages or not self.pages else "not in this book"
        )

    def text(self, words: str, **how: object) -> list[Block]:
        """Words across the column."""
        return text(self.setting, words, self.width_mm, **how)  # type: ignore[arg-type]

    def table(self, heads: Sequence[tuple[str, float]], rows: Iterable[Sequence[str]]) -> list[Group]:
        """A table; widths are shares of the column. A row's words may end with a jump after a tab."""
        widths = [self.width_mm * share for _head, share in heads]
        size = self.setting.small_pt
        x, marks = 0.0, []
        for (head, _share), width in zip(heads, widths, strict=True):
            marks.append(Words(x, self.setting.base_mm(size), head, size, ink=GREY))
            x += width
        line = self.setting.line_mm(size)
        top = Block(line + 1.0, (*marks, Line(0.0, line + 0.4, self.width_mm, line + 0.4, 0.2, GREY)))
        groups = [Group((top,), with_next=True)]
        for row in rows:
            cells = [
                Cell(words, width, bold=at == 0) for at, (words, width) in enumerate(zip(row, widths, strict=True))
            ]
            groups.append(together([gap(0.6), *table_row(self.setting, cells), _hairline(self.width_mm)]))
        return groups

    def section(self, title: str, words: str, anchor: str) -> list[Group]:
        """The head of a section, on a page of its own."""
        setting, size = self.setting, self.setting.title_pt
        head = text(setting, title, self.width_mm, size_pt=size * 1.25, bold=True)
        first = Block(head[0].height_mm, head[0].marks, (anchor,), title)
        return [Group((first, *head[1:], gap(1.0), *self.text(words, ink=GREY), gap(2.5)), True, new_page=True)]

    def subhead(self, title: str, anchor: str = "") -> Group:
        """A heading within a section."""
        lines = text(self.setting, title, self.width_mm, size_pt=self.setting.title_pt * 0.8, bold=True)
        first = Block(lines[0].height_mm, lines[0].marks, (anchor,) if anchor else ())
        return Group((gap(3.0), first, *lines[1:], gap(0.8)), with_next=True)


def _hairline(width_mm: float) -> Block:
    return Block(1.0, (Line(0.0, 0.6, width_mm, 0.6, 0.1, GREY),))


def number_block(setting: Setting, label: str, room_mm: float, *, has_bar: bool) -> tuple[float, Block]:
    """A tag's number, large; zeros slashed, and a bar below where it could be read upside down. With its width."""
    size = setting.number_pt
    wide = setting.width_mm(label, size, bold=True)
    if wide > room_mm:
        size, wide = size * room_mm / wide, room_mm
    capital = size * setting.ruler.capital_frac / POINTS_PER_MM
    base = capital + 0.8
    marks: list[Mark] = [Words(0.0, base, label, size, True)]
    for at, character in enumerate(label):
        if character == "0":
            left = setting.width_mm(label[:at], size, bold=True)
            right = setting.width_mm(label[: at + 1], size, bold=True)
            inset = (right - left) * 0.32
            marks.append(
                Line(left + inset, base - capital * 0.22, right - inset, base - capital * 0.78, capital * 0.07, BLACK)
            )
    if has_bar:
        marks.append(Line(0.0, base + 1.9, wide, base + 1.9, 1.0))
    return wide, Block(base + 3.0, tuple(marks))


def caution_groups(
    setting: Setting, cautions: Sequence[Caution], width_mm: float, *, notes: bool = False
) -> list[Group]:
    """Cautions, each kept on one page, and after the last what all of them defer to."""
    if not cautions:
        return []
    groups = [together(_caution(setting, caution, width_mm, note=notes)) for caution in cautions]
    return [*groups[:-1], together([*groups[-1].blocks, *text(setting, DEFERRING, width_mm, ink=GREY)])]


def _caution(setting: Setting, caution: Caution, width_mm: float, *, note: bool) -> list[Block]:
    """A caution with its signal word in a panel; the alert symbol stands before all but NOTICE (ANSI Z535.4)."""
    size, fill = setting.body_pt, SIGNALS[caution.signal]
    panel_mm = max(setting.width_mm(f"{word}:", size, bold=True) for word in SIGNALS) + 7.0
    lines = text(setting, f"{caution.sentence}.", width_mm, indent_mm=panel_mm + 2.0)
    high = lines[0].height_mm
    alert = caution.signal != "NOTICE"
    marks: list[Mark] = [rectangle(0.0, 0.0, panel_mm, high, fill=fill[0], ink=None)]
    if alert:
        marks += _alert_symbol(1.0, high, fill[1], fill[0])
    # The colon belongs to the sentence when the page is read as text; it is drawn in the panel.
    marks.append(Words(5.6 if alert else 1.4, setting.base_mm(size), f"{caution.signal}:", size, True, fill[1]))
    first = Block(high, (*marks, *lines[0].marks))
    notes = text(setting, caution.note, width_mm, size_pt=setting.small_pt, indent_mm=panel_mm + 2.0, ink=GREY)
    return [first, *lines[1:], *(notes if note and caution.note else ()), gap(1.0)]


def _alert_symbol(x_mm: float, high_mm: float, ink: Ink, hole: Ink) -> list[Mark]:
    """A triangle with an exclamation mark."""
    side = min(3.6, high_mm - 0.6)
    top = (high_mm - side * 0.88) / 2
    bottom, middle = top + side * 0.88, x_mm + side / 2
    triangle = Shape(((x_mm, bottom), (middle, top), (x_mm + side, bottom)), fill=ink, ink=None)
    stem = Line(middle, top + side * 0.28, middle, top + side * 0.58, side * 0.1, hole)
    dot = Line(middle, top + side * 0.68, middle, top + side * 0.76, side * 0.1, hole)
    return [triangle, stem, dot]


def framed(blocks: Iterable[Block], width_mm: float, *, dash_mm: float = 0.0) -> Block:
    """Blocks in a frame."""
    inner = stacked([gap(1.5), *blocks, gap(1.5)])
    return Block(
        inner.height_mm, (rectangle(0.0, 0.0, width_mm, inner.height_mm, ink=GREY, dash_mm=dash_mm), *inner.marks)
    )


def tag_anchor(tag_id: int) -> str:
    """Where a thing's own entry is."""
    return f"tag {tag_id}"


def spot_anchor(spot_id: int) -> str:
    """Where a spot is."""
    return f"spot {spot_id}"
