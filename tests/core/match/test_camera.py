"""The pinhole camera against OpenCV's, by hand, and there and back."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.match.camera import USUAL_35MM, PinholeCamera, focal_px_from_35mm, to_own_frames
from asfound.core.match.pixels import cells_held, from_middle, middle_px

SIZE = (641, 480)
angles = st.tuples(*[st.floats(-3, 3)] * 3)
shifts = st.tuples(*[st.floats(-5, 5)] * 3)
focals = st.floats(100, 5000)
places = st.tuples(st.floats(-0.5, 640.5), st.floats(-0.5, 479.5))


def camera(turn: tuple[float, ...] = (0, 0, 0), shift: tuple[float, ...] = (0, 0, 0), focal: float = 500.0):
    return PinholeCamera(cv2.Rodrigues(np.array(turn, np.float64))[0], np.array(shift, np.float64), focal, SIZE)


def inner(focal: float) -> np.ndarray:
    """OpenCV's camera matrix: its integer coordinates are pixel centres too."""
    return np.array([[focal, 0, (SIZE[0] - 1) / 2], [0, focal, (SIZE[1] - 1) / 2], [0, 0, 1]])


@given(angles, shifts, focals, st.integers(0, 1000))
def test_projects_as_opencv_does(turn, shift, focal, seed):
    ahead = np.random.default_rng(seed).uniform([-2, -2, 0.5], [2, 2, 9], (20, 3))
    here = camera(turn, shift, focal)
    points = (ahead - here.translation) @ here.rotation

    expected = cv2.projectPoints(points, np.array(turn), np.array(shift), inner(focal), None)[0].reshape(-1, 2)

    assert np.allclose(here.project(points), expected, atol=1e-6 * focal)


@given(angles, shifts, focals, places, st.floats(0.1, 100))
def test_lifted_pixel_lies_at_its_depth_and_shows_where_it_was(turn, shift, focal, place, depth):
    here = camera(turn, shift, focal)

    point = here.lift(np.array([place]), np.array([depth]))[0]

    assert here.depths(point) == pytest.approx([depth], rel=1e-6, abs=1e-6)
    assert np.allclose(here.project(point), [place], atol=1e-3)


@given(angles, shifts, focals, places)
def test_direction_leads_from_the_centre_to_what_the_pixel_shows(turn, shift, focal, place):
    here = camera(turn, shift, focal)

    direction = here.directions(np.array([place]))[0]

    assert np.linalg.norm(direction) == pytest.approx(1)
    assert np.allclose(here.project(here.centre + 3 * direction), place, atol=1e-3)


def test_what_lies_on_the_axis_shows_in_the_middle_of_the_picture():
    """By hand: 641 pixels reach from -0.5 to 640.5, 480 from -0.5 to 479.5."""
    assert camera().project(np.array([0.0, 0.0, 2.0])).tolist() == [320.0, 239.5]


def test_one_unit_aside_at_twice_the_depth_is_half_the_focal_length():
    """By hand: x over z times a focal length of 500."""
    assert camera().project_from_middle(np.array([[1.0, 0.0, 2.0]])).tolist() == [[250.0, 0.0]]


@pytest.mark.parametrize("depth", [-1.0, 0.0])
def test_nothing_shows_behind_the_camera(depth):
    assert np.isnan(camera().project(np.array([0.1, 0.1, depth]))).all()


def test_each_point_in_the_frame_of_its_own_camera():
    cameras = [camera((0.1, 0, 0), (1, 0, 0)), camera((0, 0.2, 0), (0, 1, 0))]
    points = np.array([[1.0, 2, 3], [4, 5, 6]])

    own = to_own_frames(np.stack([c.rotation for c in cameras]), np.stack([c.translation for c in cameras]), points)

    assert np.allclose(own, [c.local(point) for c, point in zip(cameras, points, strict=True)])


@given(st.integers(1, 5000), st.integers(1, 5000))
def test_middle_is_as_far_from_either_corner_pixel(width, height):
    """Pixel (0, 0) and pixel (width - 1, height - 1), whose centres are whole numbers."""
    first, last = from_middle([[0, 0], [width - 1, height - 1]], (width, height))

    assert np.array_equal(first, -last)
    assert np.array_equal(middle_px((width, height)), last)


def test_focal_length_of_a_full_frame_camera():
    """A 36 mm lens on a frame 36 mm wide: as many pixels as the picture is wide."""
    assert focal_px_from_35mm(36, (1024, 768)) == 1024
    assert focal_px_from_35mm(36, (768, 1024)) == 1024


@pytest.mark.parametrize("said", [None, 0, -3, 4.9, 2001, float("nan")])
def test_picture_that_says_no_lens_is_taken_for_a_phone(said):
    assert focal_px_from_35mm(said, (1024, 768)) == focal_px_from_35mm(USUAL_35MM, (1024, 768))


def test_net_counts_each_cell_once_and_holds_what_lies_on_the_edge():
    """By hand, on a net of two by two cells."""
    assert cells_held(np.array([[0.0, 0.0], [0.1, 0.1], [1.0, 1.0], [0.6, 0.1]]), 2) == 3
