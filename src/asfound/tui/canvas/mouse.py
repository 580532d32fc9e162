"""What the mouse does on a picture: a click points, a drag pans, moves a pin or draws a box."""

from __future__ import annotations

from typing import Protocol

from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.canvas.pointer import Pointer

Cell = tuple[int, int]
"""Column and row on the canvas."""


class Pointable(Protocol):
    """A picture that can be pointed at."""

    @property
    def with_crosshair(self) -> bool:
        """Whether a click moves the crosshair."""

    @property
    def pointer(self) -> Pointer:
        """Crosshair and box."""

    @property
    def target(self) -> View | None:
        """The newest view asked for."""

    def look_at(self, view: View) -> None:
        """Look at another part of the picture."""

    def put_crosshair(self, x: float, y: float, *, follow: bool = True) -> None:
        """Move the crosshair."""

    def put_corner(self) -> None:
        """Put a corner of a box where the crosshair stands."""


class MouseHand:
    """From a press of the button to its release.

    Attributes
    ----------
    is_drag : bool
        Whether the mouse was moved since its button went down.
    """

    def __init__(self, picture: Pointable) -> None:
        self.is_drag = False
        self._picture = picture
        self._last: Cell | None = None
        self._grabbed: PinMark | None = None

    @property
    def is_down(self) -> bool:
        """Whether the button is down."""
        return self._last is not None

    def press(self, cell: Cell, grabbed: PinMark | None) -> None:
        """The button goes down, perhaps on the number of a pin."""
        self._last, self._grabbed, self.is_drag = cell, grabbed, False

    def move(self, cell: Cell) -> None:
        """The mouse is over this cell with its button down."""
        view, last, pointer = self._picture.target, self._last, self._picture.pointer
        if view is None or last is None or cell == last:
            return
        if pointer.corner is not None and not self.is_drag:
            pointer.corner = view.px_at(*last)  # the box begins where the drag does
        self._last, self.is_drag = cell, True
        if pointer.corner is not None or self._grabbed is not None:
            self._picture.put_crosshair(*view.px_at(*cell), follow=False)
        else:
            self._picture.look_at(view.pan(last[0] - cell[0], last[1] - cell[1]))

    def release(self, cell: Cell) -> PinMark | None:
        """The button goes up; the pin that was clicked or, where `is_drag`, dragged."""
        grabbed, self._last, self._grabbed = self._grabbed, None, None
        view = self._picture.target
        if view is None:
            return None
        if self.is_drag and self._picture.pointer.corner is not None:
            self._picture.put_corner()
            return None
        if not self.is_drag and grabbed is None and self._picture.with_crosshair:
            self._picture.put_crosshair(*view.px_at(*cell), follow=False)
        return grabbed
