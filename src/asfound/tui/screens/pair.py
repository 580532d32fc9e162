"""Before and after: two pictures of a spot looked at through one window."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal
from textual.message import Message

from asfound.model.pictures import Pair
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import ScreenEntry
from asfound.tui.widgets.key_line import Hint
from asfound.tui.words import spot_words, taken_words

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

SIDE_BY_SIDE_FROM = 100


class PairScreen(ArchiveScreen):
    ABOUT = (
        "Before and after of one spot. From 100 columns they stand side by side and move together; "
        "on a smaller screen x flips between them in place."
    )
    KEY_WORDS = {
        "x or space": "flip between before and after",
        "[ ]": "the pair before, after",
        "y n": "these are a pair, are not a pair",
        "enter": "open the picture",
    }
    BINDINGS = [
        Binding("x,space", "flip", "flip", show=False),
        Binding("left_square_bracket", "step(-1)", "pair before", show=False),
        Binding("right_square_bracket", "step(1)", "next pair", show=False),
        Binding("y", "confirm", "a pair", show=False),
        Binding("n", "reject", "not a pair", show=False),
        Binding("enter", "open", "open", show=False),
    ]

    class Opened(Message):
        """A worker has opened one of the two pictures."""

        def __init__(self, picture_id: int, pyramid: Pyramid) -> None:
            self.picture_id = picture_id
            self.pyramid = pyramid
            super().__init__()

    def __init__(self, spot_id: int) -> None:
        super().__init__()
        self.spot_id = spot_id
        self.index = 0
        self.after_in_front = False
        self.pairs: list[Pair] = []

    def body(self) -> ComposeResult:
        with Horizontal():
            yield Canvas(id="before")
            yield Canvas(id="after")

    def on_mount(self) -> None:
        for canvas in self.query(Canvas):
            self.archive_app.set_up_canvas(canvas)
        self._arrange(self.app.size.width)
        self.reload()
        self.call_after_refresh(self._show_pair)

    def on_resize(self, event: events.Resize) -> None:
        super().on_resize(event)
        self._arrange(event.size.width)

    def reload(self) -> None:
        self.pairs = self.service.pairs(self.spot_id)
        self.index = max(0, min(self.index, len(self.pairs) - 1))

    @property
    def pair(self) -> Pair | None:
        return self.pairs[self.index] if self.pairs else None

    @property
    def front(self) -> Canvas:
        return self.query_one("#after" if self.after_in_front else "#before", Canvas)

    @property
    def behind(self) -> Canvas:
        return self.query_one("#before" if self.after_in_front else "#after", Canvas)

    def _arrange(self, width: int) -> None:
        """Side by side where there is room, else only the one in front."""
        self.front.display = True
        self.behind.display = width >= SIDE_BY_SIDE_FROM
        self.front.with_crosshair = True
        self.set_focus(self.front)

    def _show_pair(self) -> None:
        pair = self.pair
        if pair is None:
            for canvas in self.query(Canvas):
                canvas.empty("No before and after here.")
            return
        for canvas, picture_id in self._sides(pair):
            picture = self.service.picture(picture_id).picture
            canvas.show(self.opened.at_hand(picture_id), (float(picture.width_px), float(picture.height_px)))
        self.in_background(partial(self._open, pair), "open")
        self.refresh_lines()

    def _sides(self, pair: Pair) -> list[tuple[Canvas, int]]:
        return [
            (self.query_one("#before", Canvas), pair.before_id),
            (self.query_one("#after", Canvas), pair.after_id),
        ]

    def _open(self, pair: Pair) -> None:
        for picture_id in (pair.before_id, pair.after_id):
            if self.opened.at_hand(picture_id) is None:
                self.post_message(self.Opened(picture_id, self.opened.open_preview(picture_id)))
        for picture_id in (pair.before_id, pair.after_id):
            self.post_message(self.Opened(picture_id, self.opened.open_full(picture_id)))

    def on_pair_screen_opened(self, event: Opened) -> None:
        pair = self.pair
        for canvas, picture_id in self._sides(pair) if pair else ():
            if picture_id == event.picture_id:
                canvas.improve(event.pyramid)

    def where(self) -> str:
        pair = self.pair
        name = spot_words(self.service.spot(self.spot_id).spot)
        if pair is None:
            return name
        before, after = (taken_words(self.service.picture(one).picture) for one in (pair.before_id, pair.after_id))
        front = "AFTER" if self.after_in_front else "BEFORE"
        return f"{front} · {name} · {pair.kind} · before {before}, after {after}"

    def hints(self) -> Sequence[Hint]:
        return [
            Hint("x", "x", "flip"),
            Hint("plus", "+ -", "zoom"),
            Hint("right_square_bracket", "[ ]", f"pair {self.index + 1} of {max(1, len(self.pairs))}"),
            Hint("y", "y n", "a pair, or not"),
            Hint("escape", "esc", "back"),
        ]

    def on_canvas_view_changed(self, event: Canvas.ViewChanged) -> None:
        """The other picture follows the one in front."""
        front, behind = self.front, self.behind
        if event.canvas is front:
            self._link(front, behind)
            self.refresh_lines()

    def on_canvas_crosshair_moved(self, event: Canvas.CrosshairMoved) -> None:
        if event.canvas is self.front:
            self._link(self.front, self.behind)

    def _link(self, front: Canvas, behind: Canvas) -> None:
        view, other = front.target, behind.target
        if view is None or other is None or not behind.display:
            return
        at = (front.crosshair[0] / view.picture_w, front.crosshair[1] / view.picture_h)
        moved = view.for_picture(other.picture_w, other.picture_h).resized(other.columns, other.rows)
        behind.crosshair = (at[0] * other.picture_w, at[1] * other.picture_h)
        behind.look_at(moved)

    def action_flip(self) -> None:
        old = self.front
        view, crosshair = old.target, old.crosshair
        self.after_in_front = not self.after_in_front
        new = self.front
        self._arrange(self.app.size.width)
        if view is not None and new.target is not None:
            picture = new.target
            at = (crosshair[0] / view.picture_w * picture.picture_w, crosshair[1] / view.picture_h * picture.picture_h)
            new.crosshair = at
            new.look_at(view.for_picture(picture.picture_w, picture.picture_h))
        self.refresh_lines()

    def action_step(self, by: int) -> None:
        index = self.index + by
        if 0 <= index < len(self.pairs):
            self.index = index
            self._show_pair()
        else:
            self.say("There is no other pair that way.")

    def action_confirm(self) -> None:
        pair = self.pair
        if pair is not None:
            self.act(
                lambda: self.service.confirm_pair(pair.before_id, pair.after_id), "Kept as a pair. u takes it back."
            )

    def action_reject(self) -> None:
        pair = self.pair
        if pair is not None:
            words = "Not a pair any more. u takes it back."
            if self.act(lambda: self.service.reject_pair(pair.before_id, pair.after_id), words):
                self._show_pair()

    def action_open(self) -> None:
        pair = self.pair
        if pair is not None:
            self.archive_app.show_picture(pair.after_id if self.after_in_front else pair.before_id)


SCREEN = ScreenEntry("", "Before and after", PairScreen, PairScreen.ABOUT)
