"""Heads of a person's own sheet, and the columns that they most likely mean; a person says whether that is right.

Common practice, no source: what people write over the columns of a list of wires and hoses.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from asfound.core.words import fold

NOTE = "note"
LEAVE_OUT = "-"
"""In place of a column: what stands there is not taken."""

_MEANT: Mapping[str, str] = {
    "tag": "no, nr, num, number, tag, tag no, tag nr, tag number, tape, tape no, label, label no, id, #",
    "name": "what, name, item, part, thing, description, desc, designation, component, title",
    "kind": "kind, type, sort, category",
    "end_a_place": "from, a, end a, side a, from where, where from, from place, place a, engine side, engine end",
    "end_b_place": "to, b, end b, side b, to where, where to, to place, place b, machine side, other end, goes to",
    "a_base": "colour, color, wire colour, wire color, colour a, color a",
    "b_base": "colour b, color b",
    "a_terminal": "terminal, terminal a, mark a",
    "b_terminal": "terminal b, mark b",
    "size": "size, dimension, dimensions, bore, diameter, dia, width",
    "flow": "flow, direction, flow direction",
    "route": "route, routing, runs, path, via",
    "bag": "bag, bag no, bag nr, box, bin, tin",
    "condition": "condition, state of part, reuse",
    "hazard": "hazard, danger, caution, warning",
    "how_it_sat": "how it sat, position, clocking, orientation",
    "off_on": "off, off on, removed, removed on, taken off, date off, date removed, came off",
    "tagged_on": "tagged, tagged on, date tagged",
    NOTE: "note, notes, remark, remarks, comment, comments, info, observations, memo",
}
_COLUMN_OF = {fold(head): column for column, heads in _MEANT.items() for head in heads.split(", ")}
_UNIT = re.compile(r"\s*[\[(].*[\])]\s*$")
"""What stands in brackets behind a head: "Size (mm)"."""


@dataclass(frozen=True, slots=True)
class ReadHead:
    """A head of a sheet, and what is done with what stands under it.

    Attributes
    ----------
    column : str
        The column that it is read as; `NOTE` also for what is kept in the note under its head; `LEAVE_OUT`.
    how : {"known", "said", "meant", "kept"}
        A column of ours; said by the person; a guess; not known here, so that it is kept in the note.
    sample : str
        The first thing that stands under it.
    shown : str
        The head as it is written in the sheet; `head` is folded.
    """

    head: str
    column: str
    how: Literal["known", "said", "meant", "kept"]
    sample: str = ""
    shown: str = ""

    @property
    def is_labelled(self) -> bool:
        """Whether what stands under it goes into the note with its head before it: "Torque: 45 Nm"."""
        return self.column == NOTE and self.how in ("kept", "said") and _COLUMN_OF.get(_plain(self.head)) != NOTE

    @property
    def words(self) -> str:
        """What is done with it, in words."""
        if self.column == LEAVE_OUT:
            return "left out"
        if self.is_labelled:
            return f'kept in the note as "{self.shown}: {self.sample or "..."}"'
        return f"read as {self.column}"


def read_heads(
    heads: Mapping[str, str],
    samples: Mapping[str, str],
    said: Mapping[str, str],
    is_column: Callable[[str], bool],
) -> list[ReadHead]:
    """What each head of a sheet is read as.

    Columns of ours count first, then what the person said, then guesses, each column guessed once; what is left is kept
    in the note.

    Parameters
    ----------
    heads : mapping
        Heads, folded, in their order, with how each is written.
    samples : mapping
        The first thing that stands under a head.
    said : mapping
        A head, folded, to the column that it was said to be.
    """
    found: dict[str, ReadHead] = {}
    for head in heads:
        column = said.get(fold(head))
        if column is not None:
            found[head] = ReadHead(head, column, "said", samples.get(head, ""), heads[head])
        elif is_column(head):
            found[head] = ReadHead(head, head, "known", samples.get(head, ""), heads[head])
    taken = {one.column for one in found.values()} - {NOTE, LEAVE_OUT}
    for head in heads:
        if head not in found:
            column = _guess(head, taken)
            taken.add(column)
            taken.discard(NOTE)
            is_kept = column == NOTE and _COLUMN_OF.get(_plain(head)) != NOTE
            found[head] = ReadHead(head, column, "kept" if is_kept else "meant", samples.get(head, ""), heads[head])
    return [found[head] for head in heads]


def as_columns(row: Mapping[str, str], heads: Sequence[ReadHead]) -> dict[str, str]:
    """A row of a sheet by columns of ours; several heads read as one column stand one after the other."""
    cells: dict[str, list[str]] = {}
    for one in heads:
        text = row.get(one.head, "")
        if one.column == LEAVE_OUT:
            continue
        mine = cells.setdefault(one.column, [])
        if text:
            mine.append(f"{one.shown}: {text}" if one.is_labelled else text)
    return {column: "; ".join(texts) for column, texts in cells.items()}


def _guess(head: str, taken: Collection[str]) -> str:
    column = _COLUMN_OF.get(_plain(head)) or _COLUMN_OF.get(_plain(_UNIT.sub("", head)))
    return column if column is not None and column not in taken else NOTE


def _plain(head: str) -> str:
    return fold(" ".join(head.replace("_", " ").replace(".", " ").replace(":", " ").split()))
