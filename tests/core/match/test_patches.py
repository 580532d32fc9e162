"""What lies around a keypoint, and how the network describes it."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from asfound.core.match.features import detect_features, normalised_descriptors
from asfound.core.match.patch_network import WIDTH, PatchNetwork, load_network
from asfound.core.match.patch_sampling import REACHES, SIDE, sample_patches
from asfound.core.match.putative import match_descriptors

from .pictures import textured


def _one(x: float, y: float, scale: float, angle: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    return np.array([[x, y]], np.float32), np.array([scale], np.float32), np.array([angle], np.float32)


@pytest.mark.parametrize(("angle", "step"), [(0.0, (0, 1)), (90.0, (-1, 0)), (180.0, (0, -1)), (270.0, (1, 0))])
def test_patch_of_a_slope_by_hand(angle: float, step: tuple[int, int]) -> None:
    """Brightness rises by one a pixel to the right. Six diameters of 16 / 3 are 32 pixels: a step of one pixel."""
    slope = np.tile(np.arange(200, dtype=np.uint8), (200, 1))

    patch = sample_patches(slope, *_one(100, 80, 16 / 3, angle))[0, 0].astype(float)

    down, right = step
    offsets = np.arange(SIDE) - (SIDE - 1) / 2
    expected = 100 + down * offsets[:, None] + right * offsets[None, :]
    assert np.abs(patch - expected).max() <= 1


def test_second_patch_reaches_further() -> None:
    """A white disc of 41 pixels across fills more of the near patch than of the wide one, as their sides tell."""
    gray = np.zeros((300, 300), np.uint8)
    cv2.circle(gray, (150, 150), 20, 255, -1)

    near, wide = sample_patches(gray, *_one(150, 150, 10, 0))[0]

    shares = [np.mean(patch > 127) for patch in (near, wide)]
    assert shares[0] / shares[1] == pytest.approx((REACHES[1] / REACHES[0]) ** 2, rel=0.15)


def test_more_patches_than_a_map_of_opencv_holds() -> None:
    gray = textured(3, (320, 240))
    points = np.tile(np.array([[100, 100]], np.float32), (1500, 1))

    patches = sample_patches(gray, points, np.full(1500, 8, np.float32), np.zeros(1500, np.float32))

    assert patches.shape == (1500, 2, SIDE, SIDE)
    assert (patches == patches[0]).all()


def test_convolution_is_that_of_opencv() -> None:
    """One kernel on one cell picture, against `cv2.filter2D` with zeros around."""
    rng = np.random.default_rng(1)
    kernel, bias = rng.normal(size=(3, 3)).astype(np.float32), np.float32(0.1)
    flat = np.eye(64, WIDTH, dtype=np.float32)
    nothing = np.zeros((2 * WIDTH, 1), np.float32)
    out = np.concatenate([np.zeros((WIDTH, WIDTH)), np.eye(WIDTH)]).astype(np.float32)
    rows = np.zeros((9, 32, 1), np.float32)
    rows[:, 0, 0] = kernel.ravel()  # of 32 channels the first alone: the first pixel of each square of four
    network = PatchNetwork(
        (rows.reshape(-1, 1),), (np.array([bias]),), flat, np.zeros(WIDTH, np.float32),
        nothing, np.zeros(1, np.float32), np.zeros((1, WIDTH), np.float32), out, np.zeros(WIDTH, np.float32),
    )  # fmt: skip
    patches = rng.integers(0, 256, (1, 2, SIDE, SIDE)).astype(np.uint8)

    found = network.describe(np.zeros((1, WIDTH), np.float32), patches)[0, :64].reshape(8, 8)

    x = patches[0, 0].astype(np.float32)
    cells = ((x - x.mean()) / (x.std(ddof=1) + 6))[::4, ::4]
    by_opencv = np.maximum(cv2.filter2D(cells, -1, kernel, borderType=cv2.BORDER_CONSTANT) + bias, 0)
    assert np.allclose(found, by_opencv / np.linalg.norm(by_opencv), atol=1e-5)


def test_descriptors_are_unit_and_the_same_each_time() -> None:
    rng = np.random.default_rng(2)
    roots = np.abs(rng.normal(size=(70, WIDTH))).astype(np.float32)
    roots /= np.linalg.norm(roots, axis=1, keepdims=True)
    patches = rng.integers(0, 256, (70, 2, SIDE, SIDE)).astype(np.uint8)

    once, again = (load_network().describe(roots, patches) for _ in range(2))

    assert np.allclose(np.linalg.norm(once, axis=1), 1, atol=1e-5)
    assert (once == again).all()
    assert np.allclose(once[65:], load_network().describe(roots[65:], patches[65:]), atol=1e-5)


def test_no_keypoints_no_descriptors() -> None:
    empty = np.zeros((0, 2, SIDE, SIDE), np.uint8)

    assert load_network().describe(np.zeros((0, WIDTH), np.float32), empty).shape == (0, WIDTH)


def test_turned_and_darker_picture_matches() -> None:
    """Half of the keypoints of a picture turned by a quarter and darker match, nearly all of them right."""
    gray = textured(5, (400, 300))
    a, b = detect_features(gray), detect_features(np.rot90(gray // 5 * 2).copy())

    pairs = match_descriptors(normalised_descriptors(a), normalised_descriptors(b))

    expected = np.column_stack([a.points_px[pairs[:, 0], 1], 399 - a.points_px[pairs[:, 0], 0]])
    right = np.linalg.norm(expected - b.points_px[pairs[:, 1]], axis=1) < 2
    assert len(pairs) > 0.5 * len(a)
    assert right.mean() > 0.95
