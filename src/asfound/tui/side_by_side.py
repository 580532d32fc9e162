"""Two pictures looked at through one window: side by side where there is room, else one in front of the other."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.message import Message
from textual.timer import Timer

from asfound.model.pictures import Pair
from asfound.output.cells.view import View
from asfound.store.pictures import get_picture
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.keys import Key
from asfound.tui.links import Link

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

SIDE_BY_SIDE_FROM = 100
BLINK_S = 0.7
FLIP = Key("x,space", "flip", "flip between before and after", "flip")
BLINK = Key("v", "blink", "blink: flip by itself, in place; v again stops it", "blink")


class SideBySide(ArchiveScreen):
    """Shows `pair`, and lets one picture follow the other.

    From 100 columns the two stand beside each other; below only the one in front is seen, and x exchanges them.
    """

    DEFAULT_CSS = """
    SideBySide #after.-beside { margin-left: 1; }
    """
    KEYS: ClassVar[tuple[Key, ...]] = (FLIP, BLINK)

    class Opened(Message):
        """A worker has opened one of the two pictures."""

        def __init__(self, picture_id: int, pyramid: Pyramid) -> None:
            self.picture_id = picture_id
            self.pyramid = pyramid
            super().__init__()

    class Linked(Message):
        """A worker knows how the two lie over each other; `link` leads from before to after."""

        def __init__(self, pair: Pair, link: Link | None) -> None:
            self.pair = pair
            self.link = link
            super().__init__()

    def __init__(self) -> None:
        super().__init__()
        self.after_in_front = False
        self.link: Link | None = None
        self._blinking: Timer | None = None

    def body(self) -> ComposeResult:
        with Horizontal():
            yield Canvas(id="before")
            yield Canvas(id="after")

    def on_mount(self) -> None:
        for canvas in self.query(Canvas):
            self.session.set_up_canvas(canvas)
        self._arrange(self.app.size.width)

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        self._arrange(event.size.width)

    @property
    def pair(self) -> Pair | None:
        """The two pictures that are looked at."""
        raise NotImplementedError

    @property
    def front(self) -> Canvas:
        return self.query_one("#after" if self.after_in_front else "#before", Canvas)

    @property
    def behind(self) -> Canvas:
        return self.query_one("#before" if self.after_in_front else "#after", Canvas)

    @property
    def both_are_seen(self) -> bool:
        return bool(self.behind.display)

    @property
    def is_linked(self) -> bool:
        return self.link is not None

    def _arrange(self, width: int) -> None:
        """Side by side where there is room, else, and while blinking, only the one in front."""
        self.front.display = True
        self.behind.display = width >= SIDE_BY_SIDE_FROM and self._blinking is None
        self.query_one("#after").set_class(self.both_are_seen, "-beside")  # else one seems to go on in the other
        self.front.with_crosshair = True
        self.set_focus(self.front)

    # Opening

    def show_both(self) -> None:
        """Show the two pictures of `pair`, whole."""
        pair = self.pair
        self.link = None
        if pair is None:
            for canvas in self.query(Canvas):
                canvas.empty("No before and after here.")
            return
        for canvas, picture_id in self._sides(pair):
            picture = get_picture(self.archive.store, picture_id)
            canvas.show(self.opened.at_hand(picture_id), (float(picture.width_px), float(picture.height_px)))
        self.in_background(partial(self._open, pair), "open")

    def _sides(self, pair: Pair) -> list[tuple[Canvas, int]]:
        return [
            (self.query_one("#before", Canvas), pair.before_id),
            (self.query_one("#after", Canvas), pair.after_id),
        ]

    def _open(self, pair: Pair) -> None:
        for picture_id in (pair.before_id, pair.after_id):
            if self.opened.at_hand(picture_id) is None:
                self.post_message(self.Opened(picture_id, self.opened.open_preview(picture_id)))
        self.post_message(self.Linked(pair, self._link(pair)))
        for picture_id in (pair.before_id, pair.after_id):
            self.post_message(self.Opened(picture_id, self.opened.open_full(picture_id)))

    def _link(self, pair: Pair) -> Link | None:
        from asfound.actions.link import link_pictures

        before, after = (get_picture(self.archive.store, one) for one in (pair.before_id, pair.after_id))
        return link_pictures(self.archive, before, after)

    def on_side_by_side_opened(self, event: Opened) -> None:
        pair = self.pair
        for canvas, picture_id in self._sides(pair) if pair else ():
            if picture_id == event.picture_id:
                canvas.improve(event.pyramid)

    def on_side_by_side_linked(self, event: Linked) -> None:
        if event.pair == self.pair:
            self.link = event.link
            self.now_linked()
            self._lay_over(self.front, self.behind)
            self.refresh_lines()

    def now_linked(self) -> None:
        """The two can be laid over each other now, or it is known that they cannot."""

    # One window on both

    def on_canvas_view_changed(self, event: Canvas.ViewChanged) -> None:
        """The other picture follows the one in front."""
        if event.canvas is self.front:
            self._lay_over(self.front, self.behind)
            self.refresh_lines()

    def on_canvas_crosshair_moved(self, event: Canvas.CrosshairMoved) -> None:
        if event.canvas is self.front:
            self._lay_over(self.front, self.behind)

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

    def action_flip(self) -> None:
        self._lay_over(self.front, self.behind, hidden=not self.behind.display)
        self.after_in_front = not self.after_in_front
        self._arrange(self.app.size.width)
        self.refresh_lines()

    def action_blink(self) -> None:
        if self._blinking is not None:
            self._blinking.stop()
            self._blinking = None
            self.say("Stopped blinking.")
        else:
            self._blinking = self.set_interval(BLINK_S, self.action_flip)
            self.say("Blinking; what jumps has changed or is nearer. v stops it.")
        self._arrange(self.app.size.width)
        self.refresh_lines()

    def on_screen_suspend(self) -> None:
        super().on_screen_suspend()
        if self._blinking is not None:
            self.action_blink()
