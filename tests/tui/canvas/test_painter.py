"""When a picture is drawn and what of it, with a clock and a terminal of the test's own."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import pytest

from asfound.output.cells.colour import Colour, Glyphs
from asfound.output.cells.labels import PinMark
from asfound.output.cells.pyramid import Pyramid
from asfound.output.cells.view import View
from asfound.tui.canvas.drawing import Drawing, rows_that_differ
from asfound.tui.canvas.look import SHARPNESS_WORDS, PictureLook
from asfound.tui.canvas.paced_view import PacedView
from asfound.tui.canvas.pacing import PATIENCE_S, REFINE_AFTER_S, SLOW_S, Pacer
from asfound.tui.canvas.painter import Painter, PaintHooks
from asfound.tui.canvas.pointer import Pointer

COLUMNS, ROWS = 40, 12
SIZE = (COLUMNS, ROWS)
WHOLE = View.fit(400, 300, COLUMNS, ROWS)
NEAR, NEARER = WHOLE.zoom(2, 200, 150), WHOLE.zoom(4, 200, 150)


def picture() -> Pyramid:
    x, y = np.meshgrid(np.arange(400), np.arange(300))
    return Pyramid.build(np.stack([x * 255 // 400, y * 255 // 300, (x + y) % 256], axis=-1).astype(np.uint8))


class Hand:
    """Does what a widget does for its painter, and says what was asked of it."""

    def __init__(self, *, paced: bool = True) -> None:
        self.now = 100.0
        self.asked_for: list[Sequence[int] | None] = []
        self.due: list[tuple[float, Callable[[], None]]] = []
        self.views = 0
        self.painter = Painter(PaintHooks(self.asked_for.append, self._later, self._view_changed, lambda: self.now))
        self.painter.pacer.on = paced
        self.painter.pyramid = picture()
        self.painter.show(WHOLE)

    def _later(self, seconds: float, call: Callable[[], None]) -> None:
        self.due.append((self.now + seconds, call))

    def _view_changed(self) -> None:
        self.views += 1

    def paint(self) -> str:
        """Paint all of it, as the toolkit does; the text of its first row."""
        strips = [self.painter.strip(row, SIZE, Colour.TRUE) for row in range(ROWS)]
        if self.painter.take_question():
            self.painter.asked()
        assert strips[0] is not None
        return strips[0].text

    def wait(self, seconds: float) -> None:
        """Let time go by."""
        self.now += seconds
        due = [call for when, call in self.due if when <= self.now]
        self.due = [one for one in self.due if one[0] > self.now]
        for call in due:
            call()

    @property
    def frames(self) -> int:
        return self.painter.drawing.frames


def test_nothing_is_drawn_without_a_picture_or_at_another_size() -> None:
    hand = Hand()
    assert hand.painter.strip(0, (COLUMNS + 1, ROWS), Colour.TRUE) is None
    hand.painter.pyramid = None
    assert hand.painter.strip(0, SIZE, Colour.TRUE) is None
    hand.painter.show(None)
    assert hand.painter.strip(0, SIZE, Colour.TRUE) is None
    assert hand.frames == 0


def test_a_frame_is_drawn_once_and_its_rows_are_kept() -> None:
    hand = Hand()
    hand.paint()
    row = hand.painter.strip(3, SIZE, Colour.TRUE)
    assert hand.painter.strip(3, SIZE, Colour.TRUE) is row
    assert hand.frames == 1


def test_while_the_terminal_is_at_a_frame_only_the_newest_view_is_kept() -> None:
    hand = Hand()
    hand.paint()
    hand.painter.look_at(NEAR)
    hand.painter.look_at(NEARER)
    assert (hand.painter.views.shown, hand.painter.views.target) == (WHOLE, NEARER.clamp())

    hand.wait(0.05)
    hand.painter.answered()
    hand.paint()
    assert hand.painter.views.shown == NEARER.clamp()
    assert hand.frames == 2


def test_a_terminal_that_never_answers_is_drawn_on_after_a_while() -> None:
    hand = Hand()
    hand.paint()
    hand.painter.look_at(NEAR)
    hand.wait(PATIENCE_S / 2)
    assert hand.painter.views.shown == WHOLE
    hand.wait(PATIENCE_S / 2)
    assert hand.painter.views.shown == NEAR.clamp()


def test_a_terminal_without_questions_is_drawn_on_at_once() -> None:
    hand = Hand(paced=False)
    hand.paint()
    hand.painter.look_at(NEAR)
    assert hand.painter.views.shown == NEAR.clamp()
    assert not hand.painter.take_question()


def test_on_a_slow_line_a_moved_picture_is_coarse_and_drawn_well_when_it_stands_still() -> None:
    hand = Hand()
    hand.paint()
    hand.wait(2 * SLOW_S)
    hand.painter.answered()
    hand.painter.look_at(NEAR)
    coarse = hand.paint()
    assert set(coarse) <= set(" ▀▄█")  # two half blocks a cell are what a coarse frame is drawn with

    hand.painter.answered()
    hand.wait(REFINE_AFTER_S)
    fine = hand.paint()
    assert hand.frames == 3
    assert hand.painter.views.shown == NEAR.clamp()
    assert fine != coarse


def test_more_detail_waits_for_the_terminal_too() -> None:
    hand = Hand()
    hand.paint()
    hand.painter.improve()
    assert hand.asked_for == [None]  # of the first view alone
    hand.painter.answered()
    assert hand.asked_for == [None, None]


def test_a_view_that_is_the_same_is_told_of_once() -> None:
    hand = Hand(paced=False)
    for _ in range(2):
        hand.painter.look_at(WHOLE)
    assert hand.views == 1
    hand.painter.show(None)
    assert hand.views == 1


def test_a_moved_crosshair_repaints_the_rows_it_left_and_the_rows_it_came_to() -> None:
    hand = Hand(paced=False)
    hand.painter.pointer = Pointer(WHOLE.px_at(20, 2))
    hand.paint()
    hand.asked_for.clear()

    hand.painter.pointer.crosshair = WHOLE.px_at(20, 8)
    hand.painter.redraw_marks()

    (rows,) = hand.asked_for
    assert rows is not None
    assert {2, 8} <= set(rows)
    assert len(rows) < ROWS
    assert hand.frames == 1


def test_marks_that_stay_repaint_nothing() -> None:
    hand = Hand(paced=False)
    hand.paint()
    hand.asked_for.clear()
    hand.painter.redraw_marks()
    assert hand.asked_for == [[]]


def test_no_crosshair_is_drawn_where_no_point_can_be_chosen() -> None:
    hand = Hand(paced=False)
    hand.painter.pointer = Pointer(WHOLE.px_at(20, 0))
    with_it = hand.paint()
    hand.painter.with_crosshair = False
    hand.painter.redraw()
    assert "╋" in with_it
    assert "╋" not in hand.paint()


# The drawing


def test_a_pin_is_found_at_the_cells_of_its_number_and_nowhere_else() -> None:
    drawing = Drawing()
    drawing.draw(picture(), WHOLE, PictureLook(), is_coarse=False)
    drawing.mark(WHOLE, [PinMark("112A", *WHOLE.px_at(10, 5))], None, None)
    (label,) = drawing.labels
    cells = [column for column in range(COLUMNS) if drawing.mark_at(column, label.row) is label.mark]
    assert cells == list(range(label.column, label.column + len(label.text)))
    assert drawing.mark_at(label.column, label.row + 1) is None


def test_of_two_numbers_on_a_cell_the_one_that_is_seen_is_meant() -> None:
    drawing = Drawing()
    drawing.draw(picture(), WHOLE, PictureLook(), is_coarse=False)
    marks = [PinMark(str(number), *WHOLE.px_at(10, 5)) for number in range(40)]
    drawing.mark(WHOLE, marks, None, None)
    for label in drawing.labels:
        found = drawing.mark_at(label.column, label.row)
        strip = drawing.strip(label.row, Colour.TRUE)
        assert found is not None
        assert found.text in strip.text


def test_all_rows_differ_from_none_and_only_changed_ones_from_another_frame() -> None:
    from asfound.output.cells.blocks import Cells

    before, after = (Cells.blank(6, 4, (0, 0, 0)) for _ in range(2))
    assert rows_that_differ(None, after) == [0, 1, 2, 3]
    assert rows_that_differ(before, after) == []
    after.write(2, 1, "x", (255, 255, 255))
    after.paper[3, 0] = (1, 0, 0)
    assert rows_that_differ(before, after) == [1, 3]


# The view and the look


def test_a_view_that_waits_gives_way_to_a_newer_one_and_to_one_that_is_shown() -> None:
    pacer = Pacer()
    views = PacedView(pacer)
    assert views.show(WHOLE)
    pacer.asked(0.0)
    assert not views.ask_for(NEAR, 0.1)
    assert not views.ask_for(NEARER, 0.2)
    assert pacer.moved_at == 0.2
    assert views.waiting == NEARER
    assert views.show(NEAR)
    assert views.target == NEAR
    assert views.answered(0.3) is None
    assert not views.show(NEAR)


def test_there_is_nothing_to_draw_better_without_a_picture() -> None:
    assert not PacedView(Pacer(on=False)).ask_again(0.0)


def test_sharpness_goes_round_and_says_what_it_is() -> None:
    look = PictureLook()
    said = [look.sharpen() for _ in SHARPNESS_WORDS]
    assert said == [f"Picture {words}." for words in [*list(SHARPNESS_WORDS.values())[1:], "usual sharpness"]]
    assert look == PictureLook()


def test_lifted_shadows_are_put_back() -> None:
    look = PictureLook(glyphs=Glyphs.HALVES)
    assert (look.lift(), look.is_lifted) == ("Shadows lifted.", True)
    assert (look.lift(), look.is_lifted) == ("Shadows as taken.", False)


@pytest.mark.parametrize(
    ("no_color", "system", "shown"),
    [
        (False, "truecolor", Colour.PALETTE),
        (False, "256", Colour.PALETTE),
        (False, "standard", Colour.SHADES),
        (False, None, Colour.PALETTE),
        (True, "truecolor", Colour.GREY),
        (True, "standard", Colour.GREY),
    ],
)
def test_a_terminal_without_colours_overrules_the_choice(no_color: bool, system: str | None, shown: Colour) -> None:
    assert PictureLook(colour=Colour.PALETTE).shown_colour(no_color=no_color, system=system) is shown
