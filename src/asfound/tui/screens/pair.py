"""Before and after: two pictures of a spot looked at through one window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal
from textual.message import Message
from textual.timer import Timer

from asfound.model.pictures import Pair
from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.base import ArchiveScreen
from asfound.tui.canvas.widget import Canvas
from asfound.tui.entry import ScreenEntry
from asfound.tui.places import DifferenceBox, Link
from asfound.tui.widgets.key_line import ESCAPE, Hint
from asfound.tui.words import count, spot_words, taken_words

if TYPE_CHECKING:
    from asfound.output.cells.pyramid import Pyramid

SIDE_BY_SIDE_FROM = 100
BLINK_S = 0.7
CLEAR_SCORE = 0.5


class PairScreen(ArchiveScreen):
    ABOUT = (
        "Before and after of one spot. From 100 columns they stand side by side and move together; "
        "on a smaller screen x flips between them in place. Where the machine could match them, both show the same "
        "place however the camera was held. f draws boxes where something seems to differ: places to look at, "
        "no verdict, and the list is not full."
    )
    KEY_WORDS = {
        "x or space": "flip between before and after",
        "v": "blink: flip by itself, in place; v again stops it",
        "f": "boxes where something seems to differ, and off again",
        "tab": "go to the next difference (shift+tab: the one before)",
        "[ ]": "the pair before, after",
        "y n": "these are a pair, are not a pair",
        "enter": "open the picture",
    }
    BINDINGS = [
        Binding("x,space", "flip", "flip", show=False),
        Binding("v", "blink", "blink", show=False),
        Binding("f", "differences", "differences", show=False),
        Binding("tab", "next_difference(1)", "next difference", show=False),
        Binding("shift+tab", "next_difference(-1)", "difference before", show=False),
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

    class Linked(Message):
        """A worker knows how the two lie over each other; `link` leads from before to after."""

        def __init__(self, pair: Pair, link: Link | None) -> None:
            self.pair = pair
            self.link = link
            super().__init__()

    class Compared(Message):
        """A worker knows what differs."""

        def __init__(self, pair: Pair, boxes: list[DifferenceBox] | None) -> None:
            self.pair = pair
            self.boxes = boxes
            super().__init__()

    def __init__(self, spot_id: int) -> None:
        super().__init__()
        self.spot_id = spot_id
        self.index = 0
        self.after_in_front = False
        self.pairs: list[Pair] = []
        self.link: Link | None = None
        self.boxes: list[DifferenceBox] = []
        self.box_index = -1
        self._blinking: Timer | None = None

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

    @property
    def is_linked(self) -> bool:
        return self.link is not None

    def _arrange(self, width: int) -> None:
        """Side by side where there is room, else, and while blinking, only the one in front."""
        self.front.display = True
        self.behind.display = width >= SIDE_BY_SIDE_FROM and self._blinking is None
        self.front.with_crosshair = True
        self.set_focus(self.front)

    # Which pair

    def _show_pair(self) -> None:
        pair = self.pair
        self.link, self.boxes, self.box_index = None, [], -1
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
        self.post_message(self.Linked(pair, self.service.link(pair.before_id, pair.after_id)))
        for picture_id in (pair.before_id, pair.after_id):
            self.post_message(self.Opened(picture_id, self.opened.open_full(picture_id)))

    def on_pair_screen_opened(self, event: Opened) -> None:
        pair = self.pair
        for canvas, picture_id in self._sides(pair) if pair else ():
            if picture_id == event.picture_id:
                canvas.improve(event.pyramid)

    def on_pair_screen_linked(self, event: Linked) -> None:
        if event.pair == self.pair:
            self.link = event.link
            self._lay_over(self.front, self.behind)
            self.refresh_lines()

    # What is shown around them

    def where(self) -> str:
        pair = self.pair
        name = spot_words(self.service.spot(self.spot_id).spot)
        if pair is None:
            return name
        before, after = (taken_words(self.service.picture(one).picture) for one in (pair.before_id, pair.after_id))
        front = "AFTER" if self.after_in_front else "BEFORE"
        linked = "" if self.is_linked else " · not matched"
        return f"{front} · {name} · {pair.kind} · {before} → {after}{linked}"

    def hints(self) -> Sequence[Hint]:
        return [
            Hint("x", "x", "flip"),
            Hint("f", "f", "what differs"),
            Hint("right_square_bracket", "[ ]", f"pair {self.index + 1} of {max(1, len(self.pairs))}"),
            Hint("y", "y n", "pair, or not"),
            Hint("v", "v", "blink"),
            Hint("plus", "+ -", "zoom"),
            Hint("enter", "enter", "open"),
            Hint("u", "u", "undo"),
            ESCAPE,
        ]

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
        behind.crosshair = self._point_behind(view, other, *front.crosshair)
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

    def on_screen_suspend(self) -> None:
        super().on_screen_suspend()
        if self._blinking is not None:
            self.action_blink()

    # What differs

    def action_differences(self) -> None:
        pair = self.pair
        if pair is None:
            return
        if self.boxes:
            self.boxes, self.box_index = [], -1
            self._show_boxes()
            self.say("")
            return
        self.say("Comparing the two pictures ...")
        self.in_background(partial(self._compare, pair), "compare")

    def _compare(self, pair: Pair) -> None:
        self.post_message(self.Compared(pair, self.service.differences(pair.before_id, pair.after_id)))

    def on_pair_screen_compared(self, event: Compared) -> None:
        if event.pair != self.pair:
            return
        if event.boxes is None:
            self.say("The two cannot be laid over each other; compare them by eye with x.")
            return
        self.boxes = event.boxes
        self._show_boxes()
        clear = sum(box.score >= CLEAR_SCORE for box in self.boxes)
        if not self.boxes:
            self.say("Nothing stands out. That is no proof that nothing changed.")
        else:
            places = count(len(self.boxes), "place")
            self.say(f"{places} to look at, {clear or 'none'} of them clear; tab goes through them. No verdict.")

    def _show_boxes(self) -> None:
        back = self.link.reversed() if self.link is not None else None
        after, before = self.query_one("#after", Canvas), self.query_one("#before", Canvas)
        after.set_marks(self._box_marks(after, None))
        before.set_marks(self._box_marks(before, back) if back is not None else ())

    def _box_marks(self, canvas: Canvas, through: Link | None) -> list[PinMark]:
        view = canvas.target
        if view is None:
            return []
        marks = []
        for index, box in enumerate(self.boxes):
            x, y, larger = box.x_frac, box.y_frac, 1.0
            if through is not None:
                place = through.place_of(x, y)
                if place is None:
                    continue
                x, y, larger = place
            size = box.w_frac * larger * view.picture_w, box.h_frac * larger * view.picture_h
            at = x * view.picture_w, y * view.picture_h
            faint = box.score < CLEAR_SCORE
            current = index == self.box_index
            # The boxes overlap: only the chosen one is drawn whole.
            w, h = size if current else (None, None)
            marks.append(PinMark(f"≠{index + 1}", *at, w, h, proposed=faint, current=current))
        return marks

    def action_next_difference(self, by: int) -> None:
        if not self.boxes:
            self.say("f looks for differences first.")
            return
        self.box_index = (self.box_index + by) % len(self.boxes) if self.box_index >= 0 else 0
        self._show_boxes()
        mark = next((one for one in self.front.marks if one.current), None)
        view = self.front.target
        if mark is not None and view is not None:
            wide = max(mark.w or 1.0, (mark.h or 1.0)) * 2.2
            self.front.look_at(view.centred(mark.x, mark.y, max(wide / view.columns, 1.0)))
            self.front.put_crosshair(mark.x, mark.y, follow=False)
        score = self.boxes[self.box_index].score
        sure = "clear" if score >= CLEAR_SCORE else "faint"
        self.say(f"Difference {self.box_index + 1} of {len(self.boxes)}, {sure}. x flips to see it in the other.")

    # Answers

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
