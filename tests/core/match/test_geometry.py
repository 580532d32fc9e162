"""Two-view geometry, solved by hand or against OpenCV."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from asfound.core.match.bundle import Bundle, adjust_bundle, exp_rotation, residuals_px
from asfound.core.match.geometry import apply_homography, epipolar_distance_px, neighbours_agree
from asfound.core.match.local_affine import carry_locally
from asfound.core.match.pixels import frac_from_px, px_from_frac, reduce_gray
from asfound.core.match.tracks import build_tracks
from asfound.core.match.triangulate import triangulate_points

from .pictures import World


def test_homography_solved_by_hand() -> None:
    """(2, 4) -> (2 / 3, 4 / 3): w = 0.5 * 2 + 2 = 3."""
    matrix = np.array([[1.0, 0, 0], [0, 1, 0], [0.5, 0, 2]])

    assert np.allclose(apply_homography(matrix, np.array([[2.0, 4.0]])), [[2 / 3, 4 / 3]])


def test_point_sent_to_infinity_is_nan() -> None:
    """By hand: w is 0."""
    matrix = np.array([[1.0, 0, 0], [0, 1, 0], [1, 0, -2]])

    assert np.isnan(apply_homography(matrix, np.array([[2.0, 1.0]]))).all()


def test_epipolar_distance_of_a_sideways_camera() -> None:
    """A camera moved along x sees every point on the same row: F = [t]x, distance is the difference of y."""
    sideways = np.array([[0.0, 0, 0], [0, 0, -1], [0, 1, 0]])

    assert np.allclose(epipolar_distance_px(sideways, np.array([[10.0, 20]]), np.array([[90.0, 23.5]])), [3.5])


@given(st.floats(0, 1), st.floats(0, 1), st.integers(1, 4000), st.integers(1, 4000))
def test_fraction_to_pixel_and_back(x: float, y: float, width: int, height: int) -> None:
    back = frac_from_px(px_from_frac([x, y], (width, height)), (width, height))

    assert np.allclose(back, [x, y], atol=1e-6)


def test_pixel_centres_are_whole_numbers() -> None:
    """By hand."""
    assert px_from_frac([0.5, 0.5], (3, 1)).tolist() == [1.0, 0.0]


def test_reducing_never_enlarges() -> None:
    assert reduce_gray(np.zeros((30, 40), np.uint8), 1024).shape == (30, 40)
    assert reduce_gray(np.zeros((300, 400), np.uint8), 100).shape == (75, 100)


def test_two_rays_meet_where_they_cross() -> None:
    """From (0, 0, 0) towards (1, 0, 1) and from (2, 0, 0) towards (1, 0, 1)."""
    directions = np.array([[1.0, 0, 1], [-1, 0, 1]]) / np.sqrt(2)

    points, angles = triangulate_points(np.array([[0.0, 0, 0], [2, 0, 0]]), directions, np.array([0, 0]), 1)

    assert np.allclose(points, [[1, 0, 1]])
    assert np.allclose(angles, [90], atol=1e-3)


def test_parallel_rays_give_no_point() -> None:
    """By hand."""
    directions = np.array([[0.0, 0, 1], [0, 0, 1]])

    points, _ = triangulate_points(np.array([[0.0, 0, 0], [1, 0, 0]]), directions, np.array([0, 0]), 1)

    assert np.isnan(points).all()


def test_quarter_turn_by_rodrigues() -> None:
    """By hand: a quarter turn about z takes x to y."""
    turn = exp_rotation(np.array([[0, 0, np.pi / 2]]))[0]

    assert np.allclose(turn, [[0, -1, 0], [1, 0, 0], [0, 0, 1]], atol=1e-9)


def test_one_stray_match_does_not_agree_with_its_neighbours() -> None:
    rng = np.random.default_rng(0)
    a = rng.uniform(0, 500, (40, 2))
    b = a + np.array([30, -10])
    b[7] += [120, 90]

    agrees = neighbours_agree(a, b, floor_px=5)

    assert agrees.sum() == 39
    assert not agrees[7]


def test_local_affine_follows_an_affine_map() -> None:
    rng = np.random.default_rng(1)
    a = rng.uniform(0, 500, (60, 2))
    linear = np.array([[1.1, 0.2], [-0.1, 0.9]])

    maps = carry_locally(a, a @ linear.T + [5, 7], np.array([[250.0, 250]]), (500, 500))

    assert np.allclose(maps.places_px, np.array([[250.0, 250]]) @ linear.T + [5, 7], atol=1.0)


def test_tracks_join_matches_and_drop_a_picture_seen_twice() -> None:
    """0:1 - 1:2 - 2:0 is one track; a second keypoint of picture 2 makes that picture's sightings ambiguous."""
    matches = {(0, 1): np.array([[1, 2]]), (1, 2): np.array([[2, 0]])}
    assert build_tracks([4, 4, 4], matches).tolist() == [[0, 1, 0], [1, 2, 0], [2, 0, 0]]

    matches[0, 2] = np.array([[1, 3]])
    assert build_tracks([4, 4, 4], matches).tolist() == [[0, 1, 0], [1, 2, 0]]


def test_bundle_adjustment_comes_back_to_the_truth() -> None:
    """Poses shaken by a degree and points by a hundredth: the misfit falls from pixels to next to nothing."""
    world, rng = World(60), np.random.default_rng(2)
    angles = [0.0, 12.0, 25.0]
    poses = [world.camera(angle) for angle in angles]
    cameras_of = np.repeat(np.arange(3), 60)
    points_of = np.tile(np.arange(60), 3)
    seen = np.concatenate([world.project(world.points, angle) for angle in angles]) - (np.array(world.size) - 1) / 2
    shaken = exp_rotation(rng.normal(0, 0.01, (3, 3))) @ np.stack([pose.rotation for pose in poses])
    shaken[0] = poses[0].rotation
    bundle = Bundle(
        shaken,
        np.stack([pose.translation for pose in poses]),
        np.full(3, world.focal),
        world.points + rng.normal(0, 0.01, (60, 3)),
        cameras_of,
        points_of,
        seen,
    )

    adjusted = adjust_bundle(bundle, iterations=30)

    assert np.abs(residuals_px(bundle)).mean() > 1
    assert np.abs(residuals_px(adjusted)).mean() < 0.02
