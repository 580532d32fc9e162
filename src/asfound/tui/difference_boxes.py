"""Boxes where two pictures seem to differ, and which of them is gone to: places to look at, never a verdict."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.differing import DifferenceBox, Place, WhatDiffers
from asfound.tui.links import Link
from asfound.tui.words import count

CLEAR_SCORE = 0.5
MOST_NAMES = 2
"""Tag ends named on a box itself; all of them are said when it is gone to."""


class DifferenceBoxes:
    """The boxes of two pictures, the strongest first; it knows no archive and no screen."""

    def __init__(self) -> None:
        self.boxes: Sequence[DifferenceBox] = ()
        self.index = -1
        """The one that is gone to; -1 for none yet."""

    def clear(self) -> None:
        """No boxes any more."""
        self.boxes, self.index = (), -1

    def take(self, found: WhatDiffers) -> str:
        """Show these from now on; what to say of them."""
        self.boxes, self.index = found.boxes, -1
        if not self.boxes:
            return "Nothing stands out. That does not mean nothing changed: look for yourself."
        clear = sum(box.score >= CLEAR_SCORE for box in self.boxes)
        alike = "".join(f" Could {one} and {other} be swapped? Look at both." for one, other in found.swapped)
        places = count(len(self.boxes), "place")
        many = f"{places} to look at, {clear or 'none'} of them clear"
        return f"{many}; tab goes through them. Check each one yourself.{alike}"

    def go_on(self, by: int) -> str:
        """Go to the next box or the one before; what to say of it."""
        self.index = (self.index + by) % len(self.boxes) if self.index >= 0 else 0
        box = self.boxes[self.index]
        sure = "clear" if box.score >= CLEAR_SCORE else "faint"
        near = f", near {' '.join(box.near)}" if box.near else ""
        return f"Difference {self.index + 1} of {len(self.boxes)}, {sure}{near}. x flips to see it in the other."

    def marks_after(self, view: View | None) -> list[PinMark]:
        """The boxes on the later picture."""
        return self._marks(view, lambda box: box.in_after)

    def marks_before(self, view: View | None, back: Link | None) -> list[PinMark]:
        """The boxes on the earlier picture, to which `back` leads from the later one."""
        return self._marks(view, partial(place_before, back=back))

    def _marks(self, view: View | None, place_of: Callable[[DifferenceBox], Place | None]) -> list[PinMark]:
        marks = []
        for index, box in enumerate(self.boxes):
            place = place_of(box)
            if place is None or view is None:
                continue
            x, y, w_frac, h_frac = place
            current = index == self.index
            # The boxes overlap: only the chosen one is drawn whole.
            wide, high = (w_frac * view.picture_w, h_frac * view.picture_h) if current else (None, None)
            name = " ".join((f"≠{index + 1}", *box.near[:MOST_NAMES]))
            faint = box.score < CLEAR_SCORE
            at = x * view.picture_w, y * view.picture_h
            marks.append(PinMark(name, *at, wide, high, proposed=faint, current=current))
        return marks


def place_before(box: DifferenceBox, back: Link | None) -> Place | None:
    """Where a box lies in the earlier picture: as the comparison knows it, else by the link of the two pictures."""
    if box.in_before is not None:
        return box.in_before
    x, y, width, height = box.in_after
    place = back.place_of(x, y) if back is not None else None
    if place is None:
        return None
    return place[0], place[1], width * place[2], height * place[2]
