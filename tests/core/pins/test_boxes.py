"""Boxes on pictures, against the two published area forms."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.pins.boxes import (
    CentredBox,
    CornerBox,
    box_around_pin,
    centred,
    clipped,
    cornered,
    from_pixels,
    to_pixels,
    turned_clockwise,
)
from tests.strategies import fracs

sizes_px = st.tuples(st.integers(1, 5000), st.integers(1, 5000))


def numbers_of(box: CentredBox | CornerBox) -> tuple[float, float, float, float]:
    return box.x_frac, box.y_frac, box.w_frac, box.h_frac


def test_pixels_to_both_written_forms() -> None:
    """Check value 23: MWG 2.0 section 5.9 (centre) and IPTC Photo Metadata 2019.1 (top left)."""
    corner = from_pixels((1000, 600, 800, 300), (4000, 3000))

    assert numbers_of(corner) == pytest.approx((0.25, 0.2, 0.2, 0.1))
    assert numbers_of(centred(corner)) == pytest.approx((0.35, 0.25, 0.2, 0.1))


def test_mwg_area_becomes_iptc_region() -> None:
    """Check value 24: ExifTool, convert_regions."""
    assert numbers_of(cornered(CentredBox(0.5, 0.5, 0.2, 0.1))) == pytest.approx((0.4, 0.45, 0.2, 0.1))


def test_area_turns_with_its_picture() -> None:
    """Check value 25: ExifTool, rotate_regions."""
    turned = turned_clockwise(CentredBox(0.35, 0.25, 0.2, 0.1))

    assert numbers_of(turned) == pytest.approx((0.75, 0.35, 0.1, 0.2))


@given(st.builds(CornerBox, fracs, fracs, fracs, fracs), sizes_px, st.integers(-4, 4))
def test_every_change_of_form_comes_back(box: CornerBox, size_px: tuple[int, int], turns: int) -> None:
    there = turned_clockwise(centred(box), turns)

    assert numbers_of(cornered(turned_clockwise(there, -turns))) == pytest.approx(numbers_of(box), abs=1e-9)
    assert numbers_of(from_pixels(to_pixels(box, size_px), size_px)) == pytest.approx(numbers_of(box), abs=1e-9)


@given(st.floats(-1, 2), st.floats(-1, 2), sizes_px, st.none() | st.floats(0, 2), st.none() | st.floats(0, 2))
def test_box_around_any_pin_lies_on_the_picture(
    x: float, y: float, size_px: tuple[int, int], w: float | None, h: float | None
) -> None:
    box = box_around_pin((x, y), size_px, box_frac=(w, h))

    assert 0 <= box.x_frac <= box.x_frac + box.w_frac <= 1 + 1e-9
    assert 0 <= box.y_frac <= box.y_frac + box.h_frac <= 1 + 1e-9


def test_point_gets_a_square_box_and_a_box_its_own() -> None:
    square = to_pixels(box_around_pin((0.5, 0.5), (4000, 3000), share=0.1), (4000, 3000))
    own = box_around_pin((0.5, 0.5), (4000, 3000), box_frac=(0.2, 0.1))

    assert square == pytest.approx((1850, 1350, 300, 300))
    assert numbers_of(own) == pytest.approx((0.4, 0.45, 0.2, 0.1))


def test_clipped_box_off_the_picture_has_no_size() -> None:
    assert numbers_of(clipped(CornerBox(1.2, -0.5, 0.1, 0.2))) == (1, 0, 0, 0)
