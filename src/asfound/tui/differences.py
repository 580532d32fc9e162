"""Boxes where two pictures seem to differ: places to look at, never a verdict."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import ClassVar

from textual.message import Message

from asfound.model.pictures import Pair
from asfound.output.cells.labels import PinMark
from asfound.tui.canvas.widget import Canvas
from asfound.tui.differing import DifferenceBox, Place, WhatDiffers, what_differs
from asfound.tui.keys import Key
from asfound.tui.links import Link
from asfound.tui.side_by_side import SideBySide
from asfound.tui.words import count

CLEAR_SCORE = 0.5
MOST_NAMES = 2
"""Tag ends named on a box itself; all of them are said when it is gone to."""

BOXES = Key("f", "differences", "boxes where something seems to differ, and off again", "what differs|boxes")
NEXT_BOX = Key(
    "shift+tab,tab", "next_difference({by})", "go to the next difference (shift+tab: the one before)", shown="tab"
)


class Differences(SideBySide):
    """Draws the boxes over both pictures, beside the pins that a screen gives in `pins_on`."""

    KEYS: ClassVar[tuple[Key, ...]] = (BOXES, NEXT_BOX)

    class Compared(Message):
        """A worker knows what differs."""

        def __init__(self, pair: Pair, found: WhatDiffers | None) -> None:
            self.pair = pair
            self.found = found
            super().__init__()

    def __init__(self) -> None:
        super().__init__()
        self.boxes: list[DifferenceBox] = []
        self.box_index = -1

    def pins_on(self, canvas: Canvas) -> list[PinMark]:
        """Pins to show beside the boxes."""
        return []

    def show_both(self) -> None:
        self.boxes, self.box_index = [], -1
        super().show_both()
        self._show_boxes()

    def now_linked(self) -> None:
        self._show_boxes()

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
        self.post_message(self.Compared(pair, what_differs(self.archive, pair.before_id, pair.after_id)))

    def on_differences_compared(self, event: Compared) -> None:
        if event.pair != self.pair:
            return
        if event.found is None:
            self.say("The two cannot be laid over each other; compare them by eye with x.")
            return
        self.boxes = list(event.found.boxes)
        self._show_boxes()
        clear = sum(box.score >= CLEAR_SCORE for box in self.boxes)
        if not self.boxes:
            self.say("Nothing stands out. That does not mean nothing changed: look for yourself.")
        else:
            places = count(len(self.boxes), "place")
            alike = "".join(
                f" Could {one} and {other} have changed places? Look at both." for one, other in event.found.swapped
            )
            self.say(f"{places} to look at, {clear or 'none'} of them clear; tab goes through them. No verdict.{alike}")

    def _show_boxes(self) -> None:
        back = self.link.reversed() if self.link is not None else None
        after, before = self.query_one("#after", Canvas), self.query_one("#before", Canvas)
        after.set_marks([*self._box_marks(after, _in_after), *self.pins_on(after)])
        before.set_marks([*self._box_marks(before, partial(_in_before, through=back)), *self.pins_on(before)])

    def _box_marks(self, canvas: Canvas, place_of: Callable[[DifferenceBox], Place | None]) -> list[PinMark]:
        view = canvas.target
        if view is None:
            return []
        marks = []
        for index, box in enumerate(self.boxes):
            place = place_of(box)
            if place is None:
                continue
            x, y, w_frac, h_frac = place
            size = w_frac * view.picture_w, h_frac * view.picture_h
            at = x * view.picture_w, y * view.picture_h
            faint = box.score < CLEAR_SCORE
            current = index == self.box_index
            # The boxes overlap: only the chosen one is drawn whole.
            w, h = size if current else (None, None)
            name = " ".join((f"≠{index + 1}", *box.near[:MOST_NAMES]))
            marks.append(PinMark(name, *at, w, h, proposed=faint, current=current))
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
        box = self.boxes[self.box_index]
        sure = "clear" if box.score >= CLEAR_SCORE else "faint"
        near = f", near {' '.join(box.near)}" if box.near else ""
        self.say(f"Difference {self.box_index + 1} of {len(self.boxes)}, {sure}{near}. x flips to see it in the other.")


def _in_after(box: DifferenceBox) -> Place:
    return box.in_after


def _in_before(box: DifferenceBox, through: Link | None) -> Place | None:
    """Where a box lies in the earlier picture: as the comparison knows it, else by the link of the two pictures."""
    if box.in_before is not None:
        return box.in_before
    x, y, width, height = box.in_after
    place = through.place_of(x, y) if through is not None else None
    if place is None:
        return None
    return place[0], place[1], width * place[2], height * place[2]
