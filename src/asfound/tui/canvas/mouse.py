"""What answers the mouse: a click points, a drag pans, moves a pin or draws a box, the wheel zooms."""

from __future__ import annotations

from textual import events

from asfound.output.cells.labels import PinMark
from asfound.tui.canvas.held import HeldPicture
from asfound.tui.canvas.messages import PinClicked, PinDragged

ZOOM_STEP = 1.4


class MousePicture(HeldPicture):
    """A picture in hand that answers the mouse."""

    _pressed_at: tuple[int, int] | None = None
    _grabbed: PinMark | None = None
    _dragged = False

    def on_mouse_down(self, event: events.MouseDown) -> None:
        if event.button == 1 and self.view is not None:
            self._pressed_at = (event.x, event.y)
            self._grabbed = self._mark_at(event.x, event.y)
            self._dragged = False
            self.capture_mouse()
            event.stop()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        view = self.target
        if self._pressed_at is None or view is None:
            return
        across, down = self._pressed_at[0] - event.x, self._pressed_at[1] - event.y
        if across or down:
            if self.corner is not None and not self._dragged:
                self.corner = view.px_at(*self._pressed_at)
            self._dragged = True
            self._pressed_at = (event.x, event.y)
            if self.corner is not None or self._grabbed is not None:
                self.put_crosshair(*view.px_at(event.x, event.y), follow=False)
            else:
                self.look_at(view.pan(across, down))
        event.stop()

    def on_mouse_up(self, event: events.MouseUp) -> None:
        if self._pressed_at is None:
            return
        self._pressed_at = None
        self.release_mouse()
        event.stop()
        grabbed, self._grabbed = self._grabbed, None
        if self.view is None:
            return
        if self._dragged:
            if self.corner is not None:
                self.put_corner()
            elif grabbed is not None:
                self.post_message(PinDragged(self, grabbed))
        elif grabbed is not None:
            self.post_message(PinClicked(self, grabbed))
        elif self.with_crosshair:
            self.put_crosshair(*self.view.px_at(event.x, event.y), follow=False)

    def _mark_at(self, column: int, row: int) -> PinMark | None:
        """The pin whose number stands on a cell."""
        for label in reversed(self.labels):
            if label.row == row and label.column <= column < label.column + len(label.text):
                return label.mark
        return None

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self._wheel(event, 1)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self._wheel(event, -1)

    def _wheel(self, event: events.MouseEvent, direction: int) -> None:
        view = self.target
        if view is not None:
            self.look_at(view.zoom(ZOOM_STEP**direction, *view.px_at(event.x, event.y)))
        event.stop()
