"""Stored and upright positions: check values 21 and 22, and Pillow as the second reader."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageOps

from asfound.core.capture.orientation import turn_upright, upright_frac, upright_size

ALL = range(1, 9)


def test_one_point_in_all_eight_orientations():
    """CIPA DC-008, Orientation; run against Pillow."""
    found = [upright_frac(0.25, 0.10, orientation) for orientation in ALL]

    expected = [(0.25, 0.1), (0.75, 0.1), (0.75, 0.9), (0.25, 0.9), (0.1, 0.25), (0.9, 0.25), (0.9, 0.75), (0.1, 0.75)]
    assert found == [pytest.approx(pair) for pair in expected]


@pytest.mark.parametrize(("orientation", "place"), [(6, (2, 3)), (8, (0, 0))])
def test_corner_pixel_of_a_sideways_picture(orientation: int, place: tuple[int, int]):
    """CIPA DC-008, Orientation, by hand; the same with Pillow."""
    image = np.zeros((3, 4), np.uint8)
    image[0, 3] = 255

    turned = turn_upright(image, orientation)

    assert turned.shape == (4, 3)
    assert upright_size(4, 3, orientation) == (3, 4)
    assert turned[place[1], place[0]] == 255


@pytest.mark.parametrize("orientation", ALL)
def test_turning_agrees_with_pillow(orientation: int):
    image = np.random.default_rng(0).integers(0, 255, (5, 7, 3), dtype=np.uint8)
    exif = Image.Exif()
    exif[0x0112] = orientation
    picture = Image.fromarray(image)
    picture.info["exif"] = exif.tobytes()

    expected = np.asarray(ImageOps.exif_transpose(picture))

    assert np.array_equal(turn_upright(image, orientation), expected)


@given(st.integers(0, 6), st.integers(0, 4), st.sampled_from(ALL))
def test_a_point_stays_on_the_same_thing(column: int, row: int, orientation: int):
    image = np.zeros((5, 7), np.uint8)
    image[row, column] = 255

    turned = turn_upright(image, orientation)
    x, y = upright_frac((column + 0.5) / 7, (row + 0.5) / 5, orientation)

    assert turned[int(y * turned.shape[0]), int(x * turned.shape[1])] == 255


@pytest.mark.parametrize("wrong", [0, 9, -1])
def test_unknown_orientation_raises(wrong: int):
    """CIPA DC-008, Orientation: 1 to 8."""
    with pytest.raises(ValueError, match="orientation"):
        upright_frac(0, 0, wrong)
    with pytest.raises(ValueError, match="orientation"):
        turn_upright(np.zeros((2, 2), np.uint8), wrong)
