"""One frame as it was drawn: the picture alone, the same with its marks, and its rows as strips; each kept for reuse.

Marks move far more often than the picture under them, and drawing it is what takes time.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.strip import Strip

if TYPE_CHECKING:
    from asfound.output.cells.blocks import Cells
    from asfound.output.cells.colour import Colour

MarkDrawer = Callable[["Cells"], None]
"""Draws marks over the cells it is given."""


class Drawing:
    """What is kept of a frame until another is drawn.

    Attributes
    ----------
    picture : Cells or None
        The picture without marks; None when it must be drawn anew.
    """

    def __init__(self, *, plain: bool) -> None:
        self.picture: Cells | None = None
        self._marked: Cells | None = None
        self._strips: dict[int, Strip] = {}
        self._plain = plain

    @property
    def has_marks(self) -> bool:
        """Whether the marks are drawn."""
        return self._marked is not None

    def forget(self) -> None:
        """Something else is to be seen."""
        self.picture = self._marked = None
        self._strips.clear()

    def mark(self, draw: MarkDrawer) -> list[int]:
        """Draw the marks over the picture; the rows that look otherwise than before, all of them at first."""
        from asfound.output.cells.blocks import Cells

        assert self.picture is not None
        before, picture = self._marked, self.picture
        self._marked = after = Cells(picture.codes.copy(), picture.ink.copy(), picture.paper.copy())
        draw(after)
        if before is None:
            self._strips.clear()
            return list(range(len(after.codes)))
        same = (
            (before.codes == after.codes).all(axis=1)
            & (before.ink == after.ink).all(axis=(1, 2))
            & (before.paper == after.paper).all(axis=(1, 2))
        )
        changed: list[int] = (~same).nonzero()[0].tolist()
        for row in changed:
            self._strips.pop(row, None)
        return changed

    def strip(self, row: int, colour: Colour) -> Strip:
        """A row of the frame, once its marks are drawn."""
        from asfound.tui.canvas.strip import CellStrip, plain_strip

        strip = self._strips.get(row)
        if strip is None:
            assert self._marked is not None
            make = plain_strip if self._plain else CellStrip
            strip = self._strips[row] = make(self._marked, row, colour)
        return strip
