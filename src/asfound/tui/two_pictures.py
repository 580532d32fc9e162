"""Two pictures looked at through one window: side by side where there is room, else one in front of the other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, cast

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.timer import Timer

from asfound.model.pictures import Pair
from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.store.pictures import get_picture
from asfound.tui.canvas.widget import Canvas
from asfound.tui.links import Link
from asfound.tui.session import Session

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

SIDE_BY_SIDE_FROM = 100
BLINK_S = 0.7
AROUND_BOX = 2.2
"""How many times its longer side is seen of the picture around a difference that is gone to."""
Place = tuple[float, float]


class TwoPictures(Horizontal):
    """Shows the pictures of a pair, and lets one follow the other.

    From 100 columns the two stand beside each other; below only the one in front is seen, and `flip` exchanges them.
    """

    DEFAULT_CSS = """
    TwoPictures #after.-beside { margin-left: 1; }
    """

    class PairPictureOpened(Message):
        """A worker has opened one of the two pictures."""

        def __init__(self, picture_id: int, pyramid: Pyramid) -> None:
            self.picture_id = picture_id
            self.pyramid = pyramid
            super().__init__()

    class LaidOver(Message):
        """A worker knows how the two lie over each other; `link` leads from before to after."""

        def __init__(self, pair: Pair, link: Link | None) -> None:
            self.pair = pair
            self.link = link
            super().__init__()

    class Linked(Message):
        """The two can be laid over each other now, or it is known that they cannot."""

    class Turned(Message):
        """Another picture is in front, or more or less of the two is seen."""

    def __init__(self, in_background: Callable[[Callable[[], None], str], None]) -> None:
        """`in_background` does slow work in a thread, a newer piece of a group in place of an older one."""
        super().__init__()
        self._in_background = in_background
        self.before = Canvas(id="before")
        self.after = Canvas(id="after")
        self.pair: Pair | None = None
        self.after_in_front = False
        self.link: Link | None = None
        self._blinking: Timer | None = None

    def compose(self) -> ComposeResult:
        yield self.before
        yield self.after

    def on_mount(self) -> None:
        for canvas in (self.before, self.after):
            self._session.set_up_canvas(canvas)
        self.put_side_by_side()

    def on_resize(self, event: events.Resize) -> None:
        self.put_side_by_side()

    @property
    def _session(self) -> Session:
        return cast(Session, self.app)

    @property
    def front(self) -> Canvas:
        return self.after if self.after_in_front else self.before

    @property
    def behind(self) -> Canvas:
        return self.before if self.after_in_front else self.after

    @property
    def both_are_seen(self) -> bool:
        return bool(self.behind.display)

    @property
    def words(self) -> str:
        """Words that say which of the two pictures is seen."""
        if self.both_are_seen:
            return "BEFORE left, AFTER right"
        return "AFTER" if self.after_in_front else "BEFORE"

    @property
    def blinks(self) -> bool:
        return self._blinking is not None

    def put_side_by_side(self) -> None:
        """Side by side where there is room, else, and while blinking, only the one in front."""
        self.front.display = True
        self.behind.display = self.app.size.width >= SIDE_BY_SIDE_FROM and not self.blinks
        self.after.set_class(self.both_are_seen, "-beside")  # else one seems to go on in the other
        self.screen.set_focus(self.front)

    # Opening

    def show(self, pair: Pair | None) -> None:
        """Show two pictures, whole."""
        self.pair, self.link = pair, None
        if pair is None:
            for canvas in (self.before, self.after):
                canvas.empty("No before and after here.")
            return
        for canvas, picture_id in self._sides(pair):
            picture = get_picture(self._session.shared.here.store, picture_id)
            size = float(picture.width_px), float(picture.height_px)
            canvas.show(self._session.opened.at_hand(picture_id), size)
        self._in_background(partial(self._open, pair), "open")

    def _sides(self, pair: Pair) -> list[tuple[Canvas, int]]:
        return [(self.before, pair.before_id), (self.after, pair.after_id)]

    def _open(self, pair: Pair) -> None:
        from asfound.actions.link import link_pictures

        archive, opened = self._session.shared.here, self._session.opened
        both = (pair.before_id, pair.after_id)
        for picture_id in both:
            if opened.at_hand(picture_id) is None:
                self.post_message(self.PairPictureOpened(picture_id, opened.open_preview(picture_id)))
        before, after = (get_picture(archive.store, one) for one in both)
        self.post_message(self.LaidOver(pair, link_pictures(archive, before, after)))
        for picture_id in both:
            self.post_message(self.PairPictureOpened(picture_id, opened.open_full(picture_id)))

    def on_two_pictures_pair_picture_opened(self, event: PairPictureOpened) -> None:
        event.stop()
        for canvas, picture_id in self._sides(self.pair) if self.pair else ():
            if picture_id == event.picture_id:
                canvas.improve(event.pyramid)

    def on_two_pictures_laid_over(self, event: LaidOver) -> None:
        event.stop()
        if event.pair == self.pair:
            self.take_link(event.link)
            self.post_message(self.Linked())

    def take_link(self, link: Link | None) -> None:
        """Lay the two over each other so."""
        self.link = link
        self._lay_over(self.front, self.behind)

    def go_to_current(self) -> None:
        """Look at the mark in hand on the picture in front, as close as lets its box be seen with room around it."""
        front, view = self.front, self.front.target
        mark = next((one for one in front.marks if one.current), None)
        if mark is not None and view is not None:
            wide = max(mark.w or 1.0, mark.h or 1.0) * AROUND_BOX
            front.look_at(view.centred(mark.x, mark.y, max(wide / view.columns, 1.0)))
            front.put_crosshair(mark.x, mark.y, follow=False)

    def marks_of(self, text: str, before_at: Place, after_at: Place | None, canvas: Canvas) -> list[PinMark]:
        """A place on one of the two, in fractions; where it is not known in the later picture, the link leads there."""
        at = before_at if canvas is self.before else after_at
        if at is None and self.link is not None:
            there = self.link.place_of(*before_at)
            at = there[:2] if there is not None else None
        view = canvas.target
        if at is None or view is None:
            return []
        return [PinMark(text, at[0] * view.picture_w, at[1] * view.picture_h)]

    # One window on both

    def on_canvas_view_changed(self, event: Canvas.ViewChanged) -> None:
        """The other picture follows the one in front."""
        if event.canvas is self.front:
            self._lay_over(self.front, self.behind)

    def on_canvas_crosshair_moved(self, event: Canvas.CrosshairMoved) -> None:
        if event.canvas is self.front:
            self._lay_over(self.front, self.behind)

    def flip(self) -> None:
        """Put the other picture in front, at the same place."""
        self._lay_over(self.front, self.behind, hidden=not self.behind.display)
        self.after_in_front = not self.after_in_front
        self.put_side_by_side()
        self.post_message(self.Turned())

    def blink(self) -> bool:
        """Flip by itself from now on, or not any more; whether it does."""
        if self._blinking is not None:
            self._blinking.stop()
            self._blinking = None
        else:
            self._blinking = self.set_interval(BLINK_S, self.flip)
        self.put_side_by_side()
        return self.blinks

    def _lay_over(self, front: Canvas, behind: Canvas, *, hidden: bool = False) -> None:
        """Let the picture behind show the place that the one in front shows."""
        view, other = front.target, behind.target
        if view is None or other is None or not (behind.display or hidden):
            return
        columns, rows = (front if hidden else behind).size
        behind.pointer.crosshair = self._point_behind(view, other, *front.crosshair)
        behind.look_at(self._view_behind(view, other).resized(columns or other.columns, rows or other.rows))

    def _through(self) -> Link | None:
        """The link from the picture in front to the one behind."""
        if self.link is None:
            return None
        return self.link.reversed() if self.after_in_front else self.link

    def _point_behind(self, view: View, other: View, x: float, y: float) -> tuple[float, float]:
        x_frac, y_frac = x / view.picture_w, y / view.picture_h
        link = self._through()
        place = link.place_of(x_frac, y_frac) if link is not None else None
        if place is not None and 0 <= place[0] <= 1 and 0 <= place[1] <= 1:
            x_frac, y_frac = place[:2]
        return x_frac * other.picture_w, y_frac * other.picture_h

    def _view_behind(self, view: View, other: View) -> View:
        """The view of the picture behind: the same place at the same size, or the same share of an unmatched one."""
        same_share = view.for_picture(other.picture_w, other.picture_h)
        link = self._through()
        if link is None or view.is_fit:
            return same_share
        place = link.place_of(view.centre_x / view.picture_w, view.centre_y / view.picture_h)
        if place is None:
            return same_share
        scale = view.px_per_column / view.picture_w * place[2] * other.picture_w
        moved = replace(
            same_share,
            centre_x=place[0] * other.picture_w,
            centre_y=place[1] * other.picture_h,
            px_per_column=scale,
        )
        return moved.clamp()
