"""Crosshair, box and mouse on a picture, without a screen."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.output.cells.labels import PinMark
from asfound.output.cells.view import View
from asfound.tui.canvas.mouse import MouseHand
from asfound.tui.canvas.pointer import Pointer

WHOLE = View.fit(400, 300, 80, 24)
PIN = PinMark("17A", 10, 10)


@dataclass
class PointedAt:
    """A picture that keeps what was done to it."""

    with_crosshair: bool = True
    target: View | None = WHOLE
    pointer: Pointer = field(default_factory=Pointer)
    done: list[str] = field(default_factory=list)

    def look_at(self, view: View) -> None:
        self.done.append("pan")
        self.target = view

    def put_crosshair(self, x: float, y: float, *, follow: bool = True) -> None:
        assert not follow, "the view stays under the mouse"
        self.done.append("point")
        self.pointer.crosshair = x, y

    def put_corner(self) -> None:
        self.done.append("corner")
        self.pointer.put_corner()


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_the_crosshair_never_leaves_the_picture(x: float, y: float) -> None:
    pointer = Pointer()
    pointer.put(x, y, WHOLE)
    assert 0 <= pointer.crosshair[0] <= 400
    assert 0 <= pointer.crosshair[1] <= 300


def test_the_crosshair_stands_where_it_is_put_inside() -> None:
    pointer = Pointer()
    pointer.put(12.5, 299.0, WHOLE)
    assert pointer.crosshair == (12.5, 299.0)


def test_two_corners_make_a_box_and_a_third_begins_another() -> None:
    pointer = Pointer((10, 20))
    assert not pointer.put_corner()
    pointer.crosshair = (50, 60)
    assert pointer.outline == (10, 20, 50, 60)
    assert pointer.box is None

    assert pointer.put_corner()
    assert pointer.box == pointer.outline == (10, 20, 50, 60)
    assert pointer.corner is None

    assert not pointer.put_corner()
    assert (pointer.corner, pointer.box) == ((50, 60), None)


def test_a_box_is_forgotten_once() -> None:
    pointer = Pointer()
    assert not pointer.clear_box()
    pointer.put_corner()
    assert pointer.clear_box()
    pointer.put_corner()
    pointer.put_corner()
    assert pointer.clear_box()
    assert pointer.outline is None
    assert not pointer.clear_box()


def test_a_click_points_at_its_cell() -> None:
    picture = PointedAt()
    mouse = MouseHand(picture)
    mouse.press((30, 7), None)
    assert mouse.is_down
    assert mouse.release((30, 7)) is None
    assert not mouse.is_down
    assert picture.pointer.crosshair == WHOLE.px_at(30, 7)


def test_a_click_points_nowhere_where_no_point_can_be_chosen() -> None:
    picture = PointedAt(with_crosshair=False)
    mouse = MouseHand(picture)
    mouse.press((30, 7), None)
    mouse.release((30, 7))
    assert picture.done == []


def test_a_click_on_a_number_gives_its_pin_and_moves_nothing() -> None:
    picture = PointedAt()
    mouse = MouseHand(picture)
    mouse.press((30, 7), PIN)
    assert mouse.release((30, 7)) is PIN
    assert not mouse.is_drag
    assert picture.done == []


def test_a_drag_pans_by_as_many_cells_as_the_mouse_went() -> None:
    near = WHOLE.zoom(4, 200, 150)
    picture = PointedAt(target=near)
    mouse = MouseHand(picture)
    mouse.press((40, 10), None)
    for cell in ((39, 10), (39, 10), (36, 9)):
        mouse.move(cell)
    assert mouse.release((36, 9)) is None
    assert picture.target == near.pan(1, 0).pan(3, 1)
    assert picture.done == ["pan", "pan"]


def test_a_dragged_number_takes_the_crosshair_along() -> None:
    picture = PointedAt()
    mouse = MouseHand(picture)
    mouse.press((40, 10), PIN)
    mouse.move((44, 12))
    assert mouse.release((44, 12)) is PIN
    assert mouse.is_drag
    assert picture.pointer.crosshair == WHOLE.px_at(44, 12)


def test_after_the_first_corner_a_drag_draws_the_box_from_where_it_began() -> None:
    picture = PointedAt()
    picture.pointer.put_corner()
    mouse = MouseHand(picture)
    mouse.press((10, 5), PIN)
    mouse.move((12, 6))
    mouse.move((20, 9))
    assert mouse.release((20, 9)) is None
    assert picture.pointer.box == (*WHOLE.px_at(10, 5), *WHOLE.px_at(20, 9))


def test_a_press_forgets_the_drag_before() -> None:
    mouse = MouseHand(PointedAt())
    mouse.press((10, 5), None)
    mouse.move((11, 5))
    mouse.release((11, 5))
    mouse.press((10, 5), PIN)
    assert not mouse.is_drag


@pytest.mark.parametrize("picture", [PointedAt(target=None), PointedAt()], ids=["no picture", "no button down"])
def test_nothing_happens_without_a_picture_or_a_button(picture: PointedAt) -> None:
    mouse = MouseHand(picture)
    if picture.target is None:
        mouse.press((1, 1), None)
    mouse.move((5, 5))
    if picture.target is None:
        assert mouse.release((5, 5)) is None
    assert picture.done == []


def test_pins_go_to_the_crosshair_or_to_the_middle_of_the_box_whichever_corner_came_first() -> None:
    pointer = Pointer((100.0, 75.0))
    assert pointer.aim_frac(400, 300) == (0.25, 0.25, None, None)
    pointer.put_corner()
    pointer.crosshair = (60.0, 15.0)
    pointer.put_corner()
    assert pointer.aim_frac(400, 300) == pytest.approx((0.2, 0.15, 0.1, 0.2))


def test_a_box_without_height_has_none() -> None:
    pointer = Pointer((100.0, 75.0))
    pointer.put_corner()
    pointer.crosshair = (60.0, 75.0)
    pointer.put_corner()
    assert pointer.aim_frac(400, 300) == pytest.approx((0.2, 0.25, 0.1, None))
