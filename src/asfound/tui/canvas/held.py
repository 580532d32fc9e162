"""What is shown: which picture, where on it the crosshair stands, the pins and the box on it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.canvas.messages import BoxDrawn, CrosshairMoved, Told
from asfound.tui.canvas.painted import PaintedPicture

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid


class HeldPicture(PaintedPicture):
    """A picture in hand, to be looked over and pointed at."""

    def show(
        self,
        pyramid: Pyramid | None,
        size_px: tuple[float, float],
        *,
        view: View | None = None,
        at: tuple[float, float] | None = None,
    ) -> None:
        """Show another picture.

        Parameters
        ----------
        pyramid : Pyramid or None
            None while the picture is being opened; give it later to `improve`.
        size_px : (float, float)
            Width and height of the full picture.
        view : View, optional
            Where to look; the whole picture when left out. It is fitted to the canvas.
        at : (float, float), optional
            Where the crosshair goes; the middle of the view when left out.
        """
        self._pyramid = pyramid
        columns, rows = max(1, self.size.width), max(1, self.size.height)
        if view is None:
            view = View.fit(*size_px, columns, rows, self.aspect)
        self.crosshair = at or (view.centre_x, view.centre_y)
        self.corner = self.box = None
        self.marks = ()
        self._wanted = None
        self._set_view(view.resized(columns, rows, self.aspect))

    def improve(self, pyramid: Pyramid) -> None:
        """Give the same picture more detail, or its first pixels; the view stays."""
        self._pyramid = pyramid
        self._redraw_when_shown()

    def empty(self, words: str) -> None:
        """Show no picture but a line of text."""
        self._pyramid = None
        self.view = None
        self.waiting_words = words
        self._redraw()

    def set_marks(self, marks: Sequence[PinMark]) -> None:
        """The pins to draw."""
        self.marks = tuple(marks)
        self._redraw_marks()

    def put_crosshair(self, x: float, y: float, *, follow: bool = True) -> None:
        """Move the crosshair to a source pixel; the view follows when it nears the edge."""
        view = self.target
        if view is None:
            return
        x = min(max(x, 0.0), view.picture_w)
        y = min(max(y, 0.0), view.picture_h)
        self.crosshair = (x, y)
        followed = view.follow(x, y) if follow else view
        if followed != view:
            self.look_at(followed)
        else:
            self._redraw_marks()
        self.post_message(CrosshairMoved(self))

    def put_corner(self) -> None:
        """Put the first corner of a box where the crosshair stands, or the second, which ends it."""
        if self.view is None:
            return
        if self.corner is None:
            self.corner, self.box = self.crosshair, None
            self.post_message(Told("First corner. Move to the opposite one and press b again."))
        else:
            self.box = (*self.corner, *self.crosshair)
            self.corner = None
            self.post_message(BoxDrawn(self))
        self._redraw_marks()

    def clear_box(self) -> bool:
        """Forget the box or its first corner. True when there was one."""
        had = self.corner is not None or self.box is not None
        self.corner = self.box = None
        if had:
            self._redraw_marks()
        return had
