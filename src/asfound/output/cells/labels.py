"""Where the numbers of the pins go on a picture, so that each can be read and none hides what it points at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from asfound.output.cells.view import View
from asfound.output.cells.wide import in_cells

CROSSHAIR = "━╸╋╺━"
MARGIN = len(CROSSHAIR) // 2


@dataclass(frozen=True, slots=True)
class PinMark:
    """A pin as the canvas draws it.

    Attributes
    ----------
    text : str
        What to write: number and end, such as ``112A``.
    x, y : float
        The point, or the middle of the box, in source pixels.
    w, h : float or None
        The box in source pixels.
    proposed : bool
        A guess of the machine, shown with a question mark.
    current : bool
        The one that keys act on, shown in brackets.
    """

    text: str
    x: float
    y: float
    w: float | None = None
    h: float | None = None
    proposed: bool = False
    current: bool = False

    @property
    def words(self) -> str:
        words = f"{self.text}?" if self.proposed else self.text
        return f"[{words}]" if self.current else words


@dataclass(frozen=True, slots=True)
class Label:
    """A pin's number, placed. `column` is where `text` starts."""

    column: int
    row: int
    text: str
    mark: PinMark


def place_labels(marks: Sequence[PinMark], view: View, crosshair: tuple[int, int] | None = None) -> list[Label]:
    """Place a label for every pin in view; the current one first, so that it gets the best place.

    A label starts with its arrow on the pin's own cell and runs to the right; at the right edge, or where another label
    is, it runs to the left, and then the rows above and below are tried. The crosshair's cells stay free. A pin whose
    number finds no room keeps its arrow alone.

    Returns
    -------
    list of Label
        In the order of drawing: the current pin's last.
    """
    taken: set[tuple[int, int]] = set()
    if crosshair is not None:
        taken.update((crosshair[0] + shift, crosshair[1]) for shift in range(-MARGIN, MARGIN + 1))
    placed: list[Label] = []
    for mark in sorted(marks, key=lambda mark: (not mark.current, mark.proposed, mark.y, mark.x)):
        column, row = view.cell_at(mark.x, mark.y)
        if not view.holds_cell(column, row):
            continue
        label = _find_room(mark, column, row, view, taken)
        taken.update((label.column + shift, label.row) for shift in range(len(label.text)))
        placed.append(label)
    return placed[::-1]


def _find_room(mark: PinMark, column: int, row: int, view: View, taken: set[tuple[int, int]]) -> Label:
    words = in_cells(mark.words)
    right, left = f"◀{words}", f"{words}▶"
    aside = MARGIN + 1
    choices = [
        Label(column, row, right, mark),
        Label(column - len(words), row, left, mark),
        Label(column + aside, row, right, mark),
        Label(column - aside - len(words), row, left, mark),
    ]
    for shift, arrow in ((1, "▲"), (-1, "▼")):
        choices.append(Label(column, row + shift, f"{arrow}{words}", mark))
        choices.append(Label(column - len(words), row + shift, f"{words}{arrow}", mark))
    for choice in choices:
        cells = [(choice.column + offset, choice.row) for offset in range(len(choice.text))]
        if all(view.holds_cell(*cell) and cell not in taken for cell in cells):
            return choice
    return Label(column, row, "◀", mark)
