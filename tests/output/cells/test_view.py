"""The view's arithmetic: where on the picture a cell is."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.output.cells.view import CLOSEST_PX_PER_COLUMN, View

ZOOMS = (0.3, 0.5, 1.0, 2.0, 3.7, 8.0, 12.5, 20.0, 33.0)


@pytest.mark.parametrize("scale", ZOOMS)
def test_a_cell_and_its_pixel_lead_back_to_each_other(scale: float) -> None:
    view = View.fit(4000, 3000, 120, 38).centred(1234.5, 987.6, scale)
    chance = random.Random(1)

    for _ in range(500):
        cell = chance.randrange(120), chance.randrange(38)
        assert view.cell_at(*view.px_at(*cell)) == cell


def test_fit_shows_the_whole_picture() -> None:
    view = View.fit(4000, 3000, 80, 22, 2.0)

    assert view.is_fit
    assert view.left <= 0
    assert view.left + 80 * view.px_per_column >= 4000
    assert view.top <= 1e-9
    assert view.top + 22 * view.px_per_row >= 3000 - 1e-9


def test_zooming_keeps_the_point_in_its_place() -> None:
    view = View.fit(4000, 3000, 120, 38).centred(2000, 1500, 12.0)
    x, y = view.px_at(70, 20)

    for _ in range(6):
        view = view.zoom(1.3, x, y)

    assert view.cell_at(x, y) == (70, 20)
    assert view.px_at(70, 20) == pytest.approx((x, y))


def test_zooming_out_ends_at_the_whole_picture() -> None:
    view = View.fit(4000, 3000, 120, 38).centred(100, 100, 1.0)

    for _ in range(40):
        view = view.zoom(0.5, 100, 100)

    assert view == View.fit(4000, 3000, 120, 38)


def test_zooming_in_has_an_end() -> None:
    view = View.fit(400, 300, 80, 22)

    for _ in range(60):
        view = view.zoom(2, 200, 150)

    assert view.px_per_column == 0.25


def test_panning_stops_at_the_edge() -> None:
    view = View.fit(4000, 3000, 120, 38).centred(2000, 1500, 5.0)

    assert view.pan(-10_000, -10_000).left == pytest.approx(0)
    assert view.pan(10_000, 0).left + 120 * 5.0 == pytest.approx(4000)


def test_follow_moves_only_when_the_point_nears_the_edge() -> None:
    view = View.fit(4000, 3000, 120, 38).centred(2000, 1500, 5.0)

    assert view.follow(2000, 1500) == view
    followed = view.follow(2500, 1500)
    assert followed.cell_at(2500, 1500)[0] == 120 - 1 - 6
    assert followed.top == view.top


def test_a_whole_picture_stays_whole_when_the_terminal_changes_size() -> None:
    assert View.fit(4000, 3000, 120, 38).resized(60, 18) == View.fit(4000, 3000, 60, 18)
    closer = View.fit(4000, 3000, 120, 38).centred(700, 800, 4.0)
    assert closer.resized(60, 18).px_per_column == 4.0
    assert closer.resized(60, 18).centre_x == pytest.approx(700)


def test_flipping_to_a_picture_of_another_size_keeps_the_share() -> None:
    view = View.fit(4000, 3000, 120, 38).centred(1000, 1500, 4.0)

    other = view.for_picture(2000, 1500)

    assert (other.centre_x, other.centre_y) == pytest.approx((500, 750))
    assert other.magnification == pytest.approx(view.magnification)


def test_reading_zoom_is_near_four_times_at_eighty_columns() -> None:
    view = View.fit(4000, 3000, 80, 22).reading(2000, 1500)

    assert 3 <= view.magnification <= 4.5
    assert (view.centre_x, view.centre_y) == (2000, 1500)


sizes = st.floats(50, 8000)
grids = st.tuples(st.integers(1, 300), st.integers(1, 100))
whole = st.builds(
    lambda w, h, grid, aspect: View.fit(w, h, *grid, aspect), sizes, sizes, grids, st.sampled_from([1.0, 1.8, 2.0, 2.2])
)
walks = st.lists(
    st.one_of(
        st.tuples(st.just("zoom"), st.floats(0.1, 10), st.floats(0, 1), st.floats(0, 1)),
        st.tuples(st.just("pan"), st.floats(-500, 500), st.floats(-500, 500)),
        st.tuples(st.just("centred"), st.floats(0, 1), st.floats(0, 1)),
        st.tuples(st.just("follow"), st.floats(0, 1), st.floats(0, 1)),
        st.tuples(st.just("reading"), st.floats(0, 1), st.floats(0, 1)),
        st.tuples(st.just("resized"), st.integers(0, 200), st.integers(0, 80)),
        st.tuples(st.just("for_picture"), sizes, sizes),
    ),
    max_size=12,
)


def walk(view: View, steps: list[tuple[object, ...]]) -> View:
    for name, *words in steps:
        w, h = view.picture_w, view.picture_h
        if name == "zoom":
            view = view.zoom(words[0], words[1] * w, words[2] * h)  # type: ignore[operator, arg-type]
        elif name in ("centred", "follow", "reading"):
            view = getattr(view, name)(words[0] * w, words[1] * h)  # type: ignore[operator]
        else:
            view = getattr(view, str(name))(*words)
    return view


@given(whole, walks)
def test_no_walk_leads_beside_the_picture_or_closer_than_anything_can_be_seen(
    view: View, steps: list[tuple[object, ...]]
):
    view = walk(view, steps)

    fit = view.fit_px_per_column
    assert min(CLOSEST_PX_PER_COLUMN, fit) * (1 - 1e-9) <= view.px_per_column <= fit * (1 + 1e-9)
    for left, shown, size in (
        (view.left, view.columns * view.px_per_column, view.picture_w),
        (view.top, view.rows * view.px_per_row, view.picture_h),
    ):
        if shown >= size:
            assert left + shown / 2 == pytest.approx(size / 2)
        else:
            assert left >= -1e-6 * size
            assert left + shown <= size * (1 + 1e-6)
    assert view.columns >= 1
    assert view.rows >= 1


@given(whole, walks)
def test_clamping_what_is_clamped_changes_nothing(view: View, steps: list[tuple[object, ...]]):
    view = walk(view, steps)
    again = view.clamp()

    assert (again.centre_x, again.centre_y) == pytest.approx((view.centre_x, view.centre_y))
    assert again.px_per_column == pytest.approx(view.px_per_column)


@given(whole, walks, st.floats(0, 1), st.floats(0, 1))
def test_followed_point_is_in_view(view: View, steps: list[tuple[object, ...]], x: float, y: float):
    view = walk(view, steps)
    x, y = x * view.picture_w * 0.999, y * view.picture_h * 0.999

    assert view.follow(x, y).holds_cell(*view.follow(x, y).cell_at(x, y))


@given(whole, st.floats(0.3, 0.99), st.tuples(*[st.floats(0, 1)] * 4), st.floats(1, 3))
def test_zooming_in_keeps_the_point_under_the_hand(
    view: View, share: float, places: tuple[float, float, float, float], factor: float
):
    """Where nothing is seen beside the picture; what is seen closer lies within it."""
    x, y, across, down = places
    full = min(view.picture_w / view.columns, view.picture_h / (view.rows * view.aspect))
    view = view.centred(x * view.picture_w, y * view.picture_h, max(CLOSEST_PX_PER_COLUMN, full * share))
    point = view.left + across * view.columns * view.px_per_column, view.top + down * view.rows * view.px_per_row

    closer = view.zoom(factor, *point)

    for seen in (view, closer):
        place = (point[0] - seen.left) / seen.px_per_column, (point[1] - seen.top) / seen.px_per_row
        assert place == pytest.approx((across * view.columns, down * view.rows), abs=1e-5 * view.columns)


@given(whole, grids)
def test_whole_picture_stays_whole_through_any_grid_and_for_any_picture(view: View, grid: tuple[int, int]):
    assert view.is_fit
    assert view.magnification == pytest.approx(1.0)
    assert view.resized(*grid).is_fit
    assert view.for_picture(123.0, 4567.0).is_fit
    assert (view.for_picture(123.0, 4567.0).picture_w, view.for_picture(123.0, 4567.0).picture_h) == (123.0, 4567.0)


@pytest.mark.parametrize(
    ("cell", "held"),
    [((0, 0), True), ((79, 21), True), ((80, 0), False), ((0, 22), False), ((-1, 0), False), ((0, -1), False)],
)
def test_grid_holds_its_own_cells_only(cell: tuple[int, int], held: bool) -> None:
    assert View.fit(4000, 3000, 80, 22).holds_cell(*cell) is held


def test_window_moves_by_cells_of_the_present_scale() -> None:
    view = View.fit(4000, 3000, 80, 22).centred(2000, 1500, 5.0)

    moved = view.pan(2, -3)

    assert (moved.centre_x, moved.centre_y) == (2010.0, 1500.0 - 3 * 10.0)
    assert (moved.left, moved.top) == (view.left + 10.0, view.top - 30.0)


def test_another_shape_of_cells_keeps_the_place() -> None:
    view = View.fit(4000, 3000, 80, 22).centred(2000, 1500, 5.0)

    assert view.resized(80, 22, 1.5).px_per_row == 7.5
    assert view.resized(80, 22).aspect == 2.0
