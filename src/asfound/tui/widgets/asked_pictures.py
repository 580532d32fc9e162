"""The picture that is asked about, or the two of a pair side by side, with the pins that are proposed on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.worker import get_current_worker

from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.store.pictures import get_picture
from asfound.tui.canvas.widget import Canvas
from asfound.tui.session import Session

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid


@dataclass(frozen=True, slots=True)
class AskedPin:
    """A pin to draw; its place is in fractions."""

    text: str
    x_frac: float
    y_frac: float
    proposed: bool
    current: bool


class AskedPictures(Horizontal):
    """One canvas for the picture that is asked about, or two for those of a pair."""

    class AskedPictureOpened(Message):
        """A worker has opened a picture asked about."""

        def __init__(self, picture_id: int, pyramid: Pyramid) -> None:
            self.picture_id = picture_id
            self.pyramid = pyramid
            super().__init__()

    def __init__(self, in_background: Callable[[Callable[[], None], str], None], id: str | None = None) -> None:
        """`in_background` does slow work in a thread, a newer piece of a group in place of an older one."""
        super().__init__(id=id)
        self._in_background = in_background
        self._shown: dict[int, Canvas] = {}

    def compose(self) -> ComposeResult:
        yield Canvas(id="front", with_crosshair=False)
        yield Canvas(id="beside", with_crosshair=False)

    def on_mount(self) -> None:
        for canvas in (self.front, self.beside):
            cast(Session, self.app).set_up_canvas(canvas)

    @property
    def front(self) -> Canvas:
        """The canvas of the first picture, on which the pins are drawn."""
        return self.query_one("#front", Canvas)

    @property
    def beside(self) -> Canvas:
        """The canvas of the second picture of a pair."""
        return self.query_one("#beside", Canvas)

    def show(self, picture_ids: Sequence[int], pins: Sequence[AskedPin] = (), *, keep_view: bool = False) -> None:
        """Show one picture or two; as close as the pins allow, which are drawn on the first."""
        self._shown = {}
        for canvas, picture_id in zip((self.front, self.beside), picture_ids, strict=False):
            self._shown[picture_id] = canvas
            self._show_on(canvas, picture_id, pins if canvas is self.front else (), keep_view=keep_view)

    def show_none(self, words: str) -> None:
        """Show words in place of a picture."""
        self._shown = {}
        self.front.empty(words)

    def _show_on(self, canvas: Canvas, picture_id: int, pins: Sequence[AskedPin], *, keep_view: bool) -> None:
        app = cast(Session, self.app)
        picture = get_picture(app.shared.here.store, picture_id)
        size = (float(picture.width_px), float(picture.height_px))
        marks = [
            PinMark(pin.text, pin.x_frac * size[0], pin.y_frac * size[1], proposed=pin.proposed, current=pin.current)
            for pin in pins
        ]
        view = None
        if marks:
            whole = View.fit(*size, max(1, canvas.size.width), max(1, canvas.size.height), canvas.aspect)
            view = around(whole, [(mark.x, mark.y) for mark in marks])
        elif canvas.target is not None and keep_view:
            view = canvas.target.for_picture(*size)
        canvas.show(app.opened.at_hand(picture_id), size, view=view)
        canvas.set_marks(marks)
        if not app.opened.has_full(picture_id):
            self._in_background(partial(self._open, picture_id), f"open {canvas.id}")

    def _open(self, picture_id: int) -> None:
        opened, worker = cast(Session, self.app).opened, get_current_worker()
        if opened.at_hand(picture_id) is None:
            self.post_message(self.AskedPictureOpened(picture_id, opened.open_preview(picture_id)))
        if not worker.is_cancelled:
            self.post_message(self.AskedPictureOpened(picture_id, opened.open_full(picture_id)))

    def on_asked_pictures_asked_picture_opened(self, event: AskedPictureOpened) -> None:
        event.stop()
        if event.picture_id in self._shown:
            self._shown[event.picture_id].improve(event.pyramid)


def around(whole: View, points: Sequence[tuple[float, float]]) -> View:
    """A view as close as lets all points be seen with room around them, and at most twice as close as the whole."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    across = (max(xs) - min(xs)) / max(1, whole.columns * 0.7)
    down = (max(ys) - min(ys)) / max(1, whole.rows * 0.7) / whole.aspect
    scale = max(whole.px_per_column / 2, across, down)
    return whole.centred((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2, scale)
