"""One frame as it was drawn: the picture alone, the same with its marks, and its rows as strips; each kept for reuse.

Marks move far more often than the picture under them, and drawing it is what takes time. The drawing modules, and with
them NumPy and OpenCV, are loaded with the first picture and not before.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual.strip import Strip

from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.labels import Label, PinMark
from asfound.output.cells.view import View
from asfound.tui.canvas.look import PictureLook
from asfound.tui.canvas.pointer import Box, Point

if TYPE_CHECKING:
    from asfound.output.cells.blocks import Cells
    from asfound.output.cells.pyramid import Pyramid

COARSE_COLOURS = 0xF8
"""Of a coarse frame the last three bits of every colour are dropped: more cells are alike, so fewer bytes go out."""


class Drawing:
    """What is kept of a frame until another is drawn.

    Attributes
    ----------
    frames : int
        How many pictures were drawn so far.
    labels : list of Label
        Where the numbers of the pins stand in the frame.
    """

    def __init__(self, *, plain: bool = False) -> None:
        self.frames = 0
        self.labels: list[Label] = []
        self._picture: Cells | None = None
        self._marked: Cells | None = None
        self._strips: dict[int, Strip] = {}
        self._plain = plain

    @property
    def has_marks(self) -> bool:
        """Whether the frame is whole: the picture with its marks."""
        return self._marked is not None

    def forget(self) -> None:
        """Something else is to be seen."""
        self._picture = self._marked = None
        self._strips.clear()

    def draw(self, pyramid: Pyramid, view: View, look: PictureLook, *, is_coarse: bool) -> None:
        """Draw the picture without marks; a coarse one is drawn sooner and takes fewer bytes."""
        from asfound.output.cells.frame import draw_picture

        glyphs = Glyphs.HALVES if is_coarse else look.glyphs
        cells = draw_picture(pyramid, view, glyphs=glyphs, sharp=look.sharp, lifted=look.is_lifted)
        if is_coarse:
            cells.ink &= COARSE_COLOURS
            cells.paper &= COARSE_COLOURS
        self.frames += 1
        self._picture = cells

    def mark(self, view: View, marks: Sequence[PinMark], crosshair: Point | None, outline: Box | None) -> list[int]:
        """Draw the marks over the picture; the rows that look otherwise than before, all of them at first."""
        from asfound.output.cells.blocks import Cells
        from asfound.output.cells.frame import draw_marks

        assert self._picture is not None
        before, picture = self._marked, self._picture
        self._marked = after = Cells(picture.codes.copy(), picture.ink.copy(), picture.paper.copy())
        self.labels = draw_marks(after, view, marks, crosshair=crosshair, outline=outline)
        changed = rows_that_differ(before, after)
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

    def mark_at(self, column: int, row: int) -> PinMark | None:
        """The pin whose number stands on a cell; of several the one that was drawn last."""
        for label in reversed(self.labels):
            if label.row == row and label.column <= column < label.column + len(label.text):
                return label.mark
        return None


def rows_that_differ(before: Cells | None, after: Cells) -> list[int]:
    """Rows in which two frames of one size look otherwise; all of them where there was none before."""
    if before is None:
        return list(range(len(after.codes)))
    same = (
        (before.codes == after.codes).all(axis=1)
        & (before.ink == after.ink).all(axis=(1, 2))
        & (before.paper == after.paper).all(axis=(1, 2))
    )
    rows: list[int] = (~same).nonzero()[0].tolist()
    return rows
