"""The picture that is asked about, or the two of a pair side by side, with the pins that are proposed on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import Horizontal

from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.store.pictures import get_picture
from asfound.tui.picture_canvas import PictureCanvas, size_px
from asfound.tui.session import Session

if TYPE_CHECKING:
    pass


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

    def __init__(self, in_background: Callable[[Callable[[], None], str], None], id: str | None = None) -> None:
        """`in_background` does slow work in a thread, a newer piece of a group in place of an older one."""
        super().__init__(id=id)
        self._in_background = in_background

    def compose(self) -> ComposeResult:
        yield PictureCanvas(self._in_background, id="front", with_crosshair=False)
        yield PictureCanvas(self._in_background, id="beside", with_crosshair=False)

    @property
    def front(self) -> PictureCanvas:
        """The canvas of the first picture, on which the pins are drawn."""
        return self.query_one("#front", PictureCanvas)

    @property
    def beside(self) -> PictureCanvas:
        """The canvas of the second picture of a pair."""
        return self.query_one("#beside", PictureCanvas)

    def show(self, picture_ids: Sequence[int], pins: Sequence[AskedPin] = (), *, keep_view: bool = False) -> None:
        """Show one picture or two; as close as the pins allow, which are drawn on the first."""
        for canvas, picture_id in zip((self.front, self.beside), picture_ids, strict=False):
            self._show_on(canvas, picture_id, pins if canvas is self.front else (), keep_view=keep_view)

    def show_none(self, words: str) -> None:
        """Show words in place of a picture."""
        self.front.empty(words)

    def _show_on(self, canvas: PictureCanvas, picture_id: int, pins: Sequence[AskedPin], *, keep_view: bool) -> None:
        picture = get_picture(cast(Session, self.app).shared.here.store, picture_id)
        size = size_px(picture)
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
        canvas.open(picture, view=view)
        canvas.set_marks(marks)


def around(whole: View, points: Sequence[tuple[float, float]]) -> View:
    """A view as close as lets all points be seen with room around them, and at most twice as close as the whole."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    across = (max(xs) - min(xs)) / max(1, whole.columns * 0.7)
    down = (max(ys) - min(ys)) / max(1, whole.rows * 0.7) / whole.aspect
    scale = max(whole.px_per_column / 2, across, down)
    return whole.centred((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2, scale)
