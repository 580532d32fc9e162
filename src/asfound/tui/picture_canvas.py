"""A canvas for pictures of the archive: a quick one first, then every pixel, opened behind the screen."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, cast

from textual.message import Message
from textual.worker import get_current_worker

from asfound.model.pictures import Picture
from asfound.output.cells.view import View
from asfound.tui.canvas.pointer import Point
from asfound.tui.canvas.widget import Canvas
from asfound.tui.session import Session

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid


class PictureCanvas(Canvas):
    """Opens a picture in a thread and shows what there is of it meanwhile.

    Parameters
    ----------
    in_background : callable
        Does slow work in a thread, a newer piece of a group in place of an older one.
    """

    class Loaded(Message):
        """A worker has opened the picture, small or whole."""

        def __init__(self, picture_id: int, pyramid: Pyramid) -> None:
            self.picture_id = picture_id
            self.pyramid = pyramid
            super().__init__()

    def __init__(
        self,
        in_background: Callable[[Callable[[], None], str], None],
        *,
        id: str | None = None,
        with_crosshair: bool = True,
    ) -> None:
        super().__init__(id=id, with_crosshair=with_crosshair)
        self._in_background = in_background
        self._picture_id: int | None = None

    def on_mount(self) -> None:
        self._session.set_up_canvas(self)

    @property
    def _session(self) -> Session:
        return cast(Session, self.app)

    def open(self, picture: Picture, *, view: View | None = None, at: Point | None = None) -> None:
        """Show a picture of the archive; `view` and `at` as `show` takes them."""
        picture_id, opened = picture.picture_id, self._session.opened
        self._picture_id = picture_id
        self.show(opened.at_hand(picture_id), size_px(picture), view=view, at=at)
        if not opened.has_full(picture_id):
            self._in_background(partial(self._load, picture_id), f"open {self.id}")

    def empty(self, words: str) -> None:
        self._picture_id = None
        super().empty(words)

    def _load(self, picture_id: int) -> None:
        opened, worker = self._session.opened, get_current_worker()
        if opened.at_hand(picture_id) is None:
            self.post_message(self.Loaded(picture_id, opened.open_preview(picture_id)))
        if not worker.is_cancelled:
            self.post_message(self.Loaded(picture_id, opened.open_full(picture_id)))

    def on_picture_canvas_loaded(self, event: Loaded) -> None:
        event.stop()
        if event.picture_id == self._picture_id:
            self.improve(event.pyramid)


def size_px(picture: Picture) -> tuple[float, float]:
    """Width and height as displayed, as a view takes them."""
    return float(picture.width_px), float(picture.height_px)
