"""Boxes where two pictures seem to differ, without any screen: which is gone to, where they lie, what is said."""

from __future__ import annotations

from asfound.output.cells.view import View
from asfound.tui.difference_boxes import DifferenceBoxes, place_before
from asfound.tui.differing import DifferenceBox, WhatDiffers
from asfound.tui.links import ShiftedLink, shifted

CLEAR = DifferenceBox((0.5, 0.5, 0.2, 0.1), 0.9, ("17A", "18", "19B"), (0.4, 0.5, 0.2, 0.1))
FAINT = DifferenceBox((0.25, 0.75, 0.1, 0.1), 0.3)
VIEW = View.fit(400.0, 200.0, 80, 24, 2.0)


class SamePlace:
    """A link of two pictures that show the same, the later one twice as large."""

    def place_of(self, x_frac: float, y_frac: float) -> tuple[float, float, float] | None:
        return (x_frac, y_frac, 2.0) if x_frac < 0.9 else None

    def reversed(self) -> SamePlace:
        return self


def test_boxes_are_gone_through_in_a_ring_and_told() -> None:
    boxes = DifferenceBoxes()

    assert boxes.take(WhatDiffers((CLEAR, FAINT))) == (
        "2 places to look at, 1 of them clear; tab goes through them. Check each one yourself."
    )
    assert boxes.go_on(1) == "Difference 1 of 2, clear, near 17A 18 19B. x flips to see it in the other."
    assert boxes.go_on(-1) == "Difference 2 of 2, faint. x flips to see it in the other."
    assert boxes.go_on(1).startswith("Difference 1 of 2")


def test_no_box_is_no_proof_and_look_alikes_are_asked_about() -> None:
    boxes = DifferenceBoxes()

    told = boxes.take(WhatDiffers(()))
    assert told == "Nothing stands out. That does not mean nothing changed: look for yourself."
    assert "Could 17A and 18A be swapped? Look at both." in boxes.take(WhatDiffers((FAINT,), (("17A", "18A"),)))


def test_only_the_chosen_box_is_drawn_whole_and_few_ends_are_named_on_it() -> None:
    boxes = DifferenceBoxes()
    boxes.take(WhatDiffers((CLEAR, FAINT)))
    boxes.go_on(1)

    first, second = boxes.marks_after(VIEW)

    assert (first.text, first.x, first.y, first.w, first.h, first.current) == ("≠1 17A 18", 200, 100, 80, 20, True)
    assert (second.text, second.w, second.proposed, second.current) == ("≠2", None, True, False)
    assert boxes.marks_after(None) == []


def test_in_the_earlier_picture_a_box_lies_where_the_comparison_knows_or_the_link_leads() -> None:
    boxes = DifferenceBoxes()
    boxes.take(WhatDiffers((CLEAR, FAINT)))

    assert [mark.x for mark in boxes.marks_before(VIEW, None)] == [160]
    assert [mark.x for mark in boxes.marks_before(VIEW, SamePlace())] == [160, 100]
    assert place_before(FAINT, SamePlace()) == (0.25, 0.75, 0.2, 0.2)
    assert place_before(DifferenceBox((0.95, 0.5, 0.1, 0.1), 0.9), SamePlace()) is None
    boxes.clear()
    assert boxes.marks_before(VIEW, SamePlace()) == []


def test_a_link_that_a_pin_has_shifted_leads_there_and_back() -> None:
    link = ShiftedLink(SamePlace(), 0.1, -0.2)

    assert link.place_of(0.25, 0.5) == (0.35, 0.3, 2.0)
    back = link.reversed().place_of(0.35, 0.3)
    assert back is not None
    assert [round(one, 9) for one in back[:2]] == [0.25, 0.5]
    assert link.reversed().reversed().place_of(0.25, 0.5) == (0.35, 0.3, 2.0)
    assert link.place_of(0.95, 0.5) is None


def test_a_shifted_link_leads_from_one_pin_to_the_other_and_back() -> None:
    link = shifted(SamePlace(), (0.25, 0.5), (0.5, 0.25))
    assert link.place_of(0.25, 0.5) == (0.5, 0.25, 2.0)
    back = link.reversed().place_of(0.5, 0.25)
    assert back is not None
    assert back[:2] == (0.25, 0.5)


def test_a_link_that_leads_nowhere_from_there_stays_as_it_is() -> None:
    link = SamePlace()
    assert shifted(link, (0.95, 0.5), (0.5, 0.25)) is link
