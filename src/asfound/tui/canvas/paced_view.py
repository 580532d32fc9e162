"""The part of a picture that is shown, and the newer one that waits until the terminal has shown the last frame."""

from __future__ import annotations

from asfound.output.cells.view import View
from asfound.tui.canvas.pacing import Pacer


class PacedView:
    """Which view to draw, and when. All times are seconds of one monotonic clock.

    Attributes
    ----------
    shown : View or None
        The view that was drawn last; None while there is no picture.
    waiting : View or None
        A newer one that was asked for meanwhile.
    """

    def __init__(self, pacer: Pacer) -> None:
        self.pacer = pacer
        self.shown: View | None = None
        self.waiting: View | None = None

    @property
    def target(self) -> View | None:
        """The newest view asked for, drawn or not."""
        return self.waiting or self.shown

    def show(self, view: View | None) -> bool:
        """Show a view at once, whatever waits; True when it is another than before."""
        changed = view != self.shown
        self.shown, self.waiting = view, None
        return changed

    def ask_for(self, view: View, now: float) -> bool:
        """Ask for a view; True when it may be shown now, otherwise it waits and takes the place of what waited."""
        self.pacer.moved_at = now
        return self._may_show(view, now)

    def ask_again(self, now: float) -> bool:
        """Ask for the newest view once more, to be drawn better; True when that may be done now."""
        target = self.target
        return target is not None and self._may_show(target, now)

    def _may_show(self, view: View, now: float) -> bool:
        if self.pacer.may_draw(now):
            return True
        self.waiting = view
        return False

    def answered(self, now: float) -> View | None:
        """The terminal has shown the last frame: the view that waited for it."""
        self.pacer.answered(now)
        waiting, self.waiting = self.waiting, None
        return waiting
