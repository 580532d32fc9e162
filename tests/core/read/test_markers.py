"""Printed markers: their ids against OpenCV's own dictionary, and what is found of them in a picture."""

from __future__ import annotations

from itertools import pairwise

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from asfound.core.read.markers import (
    LARGEST_NUMBER,
    MARKER_COUNT,
    detect_markers,
    draw_marker,
    marker_of_tag,
    read_markers,
    tag_of_marker,
)
from asfound.errors import Misused
from tests.core.read.drawn import hang, rusty_ground

FAMILY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)


def code_bits(marker_id: int) -> NDArray[np.bool_]:
    """The 6 x 6 cells as OpenCV draws them, which is not how this project reads them."""
    return cv2.aruco.generateImageMarker(FAMILY, marker_id, 8)[1:-1, 1:-1] > 127


def picture_of(marker_id: int, **how: float) -> NDArray[np.uint8]:
    picture = rusty_ground(480, 360)
    drawn = cv2.cvtColor(draw_marker(marker_id, 6), cv2.COLOR_GRAY2RGB)
    hang(picture, np.asarray(drawn, np.uint8), (200, 170), **how)
    return np.asarray(cv2.cvtColor(picture, cv2.COLOR_RGB2GRAY), np.uint8)


def test_family_holds_587_codes_that_differ_in_11_bits_at_least_in_any_turn():
    """Olson, AprilTag, ICRA 2011: family 36h11."""
    codes = np.array([code_bits(marker_id) for marker_id in range(len(FAMILY.bytesList))])
    flat = codes.reshape(len(codes), -1).astype(np.int64)
    least = 36
    for turns in range(4):
        turned = np.rot90(codes, turns, (1, 2)).reshape(len(codes), -1).astype(np.int64)
        apart = flat @ (1 - turned.T) + (1 - flat) @ turned.T
        if turns == 0:
            np.fill_diagonal(apart, 36)
        least = min(least, int(apart.min()))

    assert len(codes) == MARKER_COUNT == 587
    assert least == 11


def test_every_tag_end_has_its_own_marker():
    """id = 2 (n - 1) + end: two ids for each tag, one for each end."""
    ids = [marker_of_tag(number, end) for number in range(1, LARGEST_NUMBER + 1) for end in ("A", "B")]

    assert ids == list(range(586))
    assert marker_of_tag(147, "B") == 293
    assert [tag_of_marker(marker_id) for marker_id in (0, 1, 293, 585)] == [
        ("1", "A"),
        ("1", "B"),
        ("147", "B"),
        ("293", "B"),
    ]


@pytest.mark.parametrize("number", [0, 294, 1000])
def test_number_beyond_the_markers_is_refused_by_name(number: int):
    with pytest.raises(Misused, match=f"Tag {number} .* 1 to 293"):
        marker_of_tag(number, "B")


@pytest.mark.parametrize("marker_id", [-1, 587])
def test_id_that_no_marker_has_is_refused(marker_id: int):
    with pytest.raises(Misused, match="0 to 586"):
        tag_of_marker(marker_id)


def test_last_id_is_no_tag_and_is_not_read():
    picture = picture_of(586)

    assert tag_of_marker(586) is None
    assert [marker.marker_id for marker in detect_markers(picture)] == [586]
    assert read_markers(picture) == []


@pytest.mark.parametrize("marker_id", range(0, 587, 73))
def test_drawn_marker_is_the_one_of_opencv_with_a_white_edge(marker_id: int):
    drawn = draw_marker(marker_id, 5)

    assert np.array_equal(drawn[5:-5, 5:-5], cv2.aruco.generateImageMarker(FAMILY, marker_id, 40))
    assert drawn[:5].min() == 255


@pytest.mark.parametrize("turn_deg", [0, 30, 90, 137, 180, 270])
@pytest.mark.parametrize("away", [0, 0.25])
def test_marker_is_read_at_any_turn_and_from_an_angle(turn_deg: float, away: float):
    """Tag 147 end B has the id 2 (147 - 1) + 1 = 293."""
    (reading,) = read_markers(picture_of(293, turn_deg=turn_deg, away=away))

    assert (reading.number, reading.end, reading.how) == ("147", "B", "marker")
    assert reading.upside_down is None
    assert abs(reading.x_frac * 480 - 200) < 6
    assert abs(reading.y_frac * 360 - 170) < 6
    assert reading.confidence > 0.95


def test_marker_seen_in_a_mirror_is_not_read():
    assert read_markers(np.ascontiguousarray(picture_of(12)[:, ::-1])) == []


@pytest.mark.parametrize(("wrong", "found"), [(0, True), (1, True), (2, True), (3, False), (5, False)])
def test_no_more_than_two_wrong_bits_are_corrected(wrong: int, found: bool):
    """The family's authors advise against correcting more, although its distance of 11 would allow 5."""
    cells = np.pad(code_bits(40).astype(np.uint8), 1)
    for row, column in [(1, 1), (4, 2), (2, 5), (6, 3), (5, 6)][:wrong]:
        cells[row, column] ^= 1
    image = np.kron(np.pad(cells, 2, constant_values=1), np.full((8, 8), 255, np.uint8))

    markers = detect_markers(np.pad(image, 40, constant_values=160))

    assert [(marker.marker_id, marker.wrong_bits) for marker in markers] == ([(40, wrong)] if found else [])


def test_corrected_and_small_markers_are_less_sure():
    confidences = [reading.confidence for side in (8, 3) for reading in read_markers(_alone(40, side))]

    assert len(confidences) == 2
    assert all(large > small for large, small in pairwise(confidences))


def test_nothing_is_read_where_nothing_is():
    assert read_markers(np.asarray(cv2.cvtColor(rusty_ground(400, 300), cv2.COLOR_RGB2GRAY), np.uint8)) == []
    assert read_markers(np.zeros((5, 5), np.uint8)) == []


def _alone(marker_id: int, cell_px: int) -> NDArray[np.uint8]:
    return np.pad(draw_marker(marker_id, cell_px), 30, constant_values=190)
