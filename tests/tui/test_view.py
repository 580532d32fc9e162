"""The view's arithmetic: where on the picture a cell is."""

from __future__ import annotations

import random

import pytest

from asfound.output.cells.view import View

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
