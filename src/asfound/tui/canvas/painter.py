"""Paints the part of a picture that its view shows, with crosshair, pins and box, no faster than the terminal shows it.

It needs no screen: what it wants of the widget around it are the `PaintHooks`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from time import monotonic
from typing import TYPE_CHECKING

from textual.strip import Strip

from asfound.output.cells.colour import Colour
from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.canvas.drawing import Drawing
from asfound.tui.canvas.look import PictureLook
from asfound.tui.canvas.paced_view import PacedView
from asfound.tui.canvas.pacing import PATIENCE_S, REFINE_AFTER_S, Pacer
from asfound.tui.canvas.pointer import Pointer

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid


@dataclass(frozen=True, slots=True)
class PaintHooks:
    """What a painter asks of its widget.

    Attributes
    ----------
    repaint : callable
        Paint these rows soon, all of them for None.
    later : callable
        Call something after so many seconds.
    view_changed : callable
        Another part of the picture is seen.
    clock : callable
        Seconds of a monotonic clock.
    """

    repaint: Callable[[Sequence[int] | None], None]
    later: Callable[[float, Callable[[], None]], object]
    view_changed: Callable[[], None]
    clock: Callable[[], float] = monotonic


class Painter:
    """A picture, what is drawn over it, and when it is drawn.

    Attributes
    ----------
    pointer : Pointer
        Crosshair and box.
    with_crosshair : bool
        Whether the crosshair is drawn.
    marks : tuple of PinMark
        The pins.
    pyramid : Pyramid or None
        The picture; None while it is being opened.
    """

    def __init__(self, hooks: PaintHooks, *, with_crosshair: bool = True, plain: bool = False) -> None:
        self.with_crosshair = with_crosshair
        self.pacer = Pacer(on=False)
        self.views = PacedView(self.pacer)
        self.look = PictureLook()
        self.pointer = Pointer()
        self.marks: tuple[PinMark, ...] = ()
        self.pyramid: Pyramid | None = None
        self.drawing = Drawing(plain=plain)
        self._hooks = hooks
        self._has_question = False

    # Which view

    def show(self, view: View | None) -> None:
        """Show a view at once, or none."""
        changed = self.views.show(view)
        self.redraw()
        if changed and view is not None:
            self._hooks.view_changed()

    def look_at(self, view: View) -> None:
        """Show a view as soon as the terminal can take it."""
        view = view.clamp()
        if self.views.ask_for(view, self._hooks.clock()):
            self.show(view)

    # When

    def take_question(self) -> bool:
        """Whether the terminal is to be asked now if it has shown the frame; True once for each."""
        had, self._has_question = self._has_question, False
        return had

    def asked(self) -> None:
        """The terminal was asked; after a while the painter goes on without its answer."""
        self.pacer.asked(self._hooks.clock())
        self._hooks.later(PATIENCE_S, self._give_up_waiting)

    def answered(self) -> None:
        """The terminal has shown the last frame: draw the newest view wanted since."""
        waiting = self.views.answered(self._hooks.clock())
        if waiting is not None:
            self.show(waiting)

    def _give_up_waiting(self) -> None:
        if self.views.waiting is not None and self.pacer.may_draw(self._hooks.clock()):
            self.answered()

    def improve(self) -> None:
        """Draw the same view anew, but not while the terminal is still at the last frame."""
        if self.views.target is None or self.views.ask_again(self._hooks.clock()):
            self.redraw()

    def _refine(self) -> None:
        if not self.pacer.is_coarse(self._hooks.clock()):
            self.improve()

    def redraw(self) -> None:
        """Draw all of it anew."""
        self.drawing.forget()
        self._hooks.repaint(None)

    def redraw_marks(self) -> None:
        """Draw crosshair, pins and box anew, and repaint only the rows that changed."""
        self._hooks.repaint(self._draw_marks() if self.drawing.has_marks else None)

    # What

    def strip(self, row: int, size: tuple[int, int], colour: Colour) -> Strip | None:
        """A row of the picture; None while there is none that fits a canvas of so many columns and rows."""
        view = self.views.shown
        if view is None or self.pyramid is None or (view.columns, view.rows) != size:
            return None
        if not self.drawing.has_marks:
            self._draw(self.pyramid, view)
        return self.drawing.strip(row, colour)

    def _draw(self, pyramid: Pyramid, view: View) -> None:
        is_coarse = self.pacer.is_coarse(self._hooks.clock())
        self.drawing.draw(pyramid, view, self.look, is_coarse=is_coarse)
        if is_coarse:
            self._hooks.later(REFINE_AFTER_S, self._refine)
        self._has_question = self.pacer.on
        self._draw_marks()

    def _draw_marks(self) -> list[int]:
        assert self.views.shown is not None
        crosshair = self.pointer.crosshair if self.with_crosshair else None
        return self.drawing.mark(self.views.shown, self.marks, crosshair, self.pointer.outline)
