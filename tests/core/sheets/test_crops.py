"""Windows around pins: inside the picture, with the pin in them, in the shape of the paper."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.sheets.crops import WHOLE, Window, fitted_mm, printed_px, window_around
from tests.strategies import fracs

sides = st.integers(40, 6000)


@given(fracs, fracs, sides, sides)
def test_window_lies_in_the_picture_and_holds_the_pin(x: float, y: float, wide: int, high: int) -> None:
    window = window_around((x, y), None, (wide, high), (74, 44))

    assert -1e-9 <= window.left < window.right <= 1 + 1e-9
    assert -1e-9 <= window.top < window.bottom <= 1 + 1e-9
    across, down = window.place(x, y)
    assert -1e-6 <= across <= 1 + 1e-6
    assert -1e-6 <= down <= 1 + 1e-6


def test_window_has_the_shape_of_the_paper() -> None:
    window = window_around((0.5, 0.5), None, (4000, 3000), (80, 40))

    assert (window.right - window.left) * 4000 == pytest.approx(2 * (window.bottom - window.top) * 3000)


def test_window_grows_with_a_box_so_that_all_of_it_is_seen() -> None:
    window = window_around((0.5, 0.5), (0.3, 0.1), (4000, 3000), (80, 40))

    assert window.right - window.left >= 0.3 * 2


def test_picture_is_as_large_as_its_room_allows() -> None:
    assert fitted_mm(WHOLE, (4000, 3000), (100, 100)) == (100, 75)
    assert fitted_mm(WHOLE, (3000, 4000), (100, 80)) == (60, 80)
    assert fitted_mm(Window(0, 0, 0.5, 1), (4000, 2000), (50, 90)) == (50, 50)


def test_an_inch_of_paper_shows_200_pixels() -> None:
    """By hand: 25.4 mm to the inch."""
    assert printed_px(25.4) == 200
