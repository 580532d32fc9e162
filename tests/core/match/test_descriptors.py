"""Worked values of the published descriptors."""

from __future__ import annotations

import numpy as np

from asfound.core.match.features import detect_features
from asfound.core.match.place import PLACE_SIZE, describe_place, rank_places, sum_residuals
from asfound.core.match.putative import match_descriptors
from asfound.core.match.sift import root_sift

from .pictures import textured


def test_root_sift_of_a_worked_part() -> None:
    """Arandjelovic and Zisserman, CVPR 2012: L1 normalise, then square root: (4, 0, 0, 12) -> (.5, 0, 0, .8660)."""
    found = root_sift(np.array([[4, 0, 0, 12]], np.uint8))

    assert np.allclose(found, [[0.5, 0, 0, np.sqrt(0.75)]], atol=1e-6)


def test_root_sift_dot_product_is_the_hellinger_kernel() -> None:
    """Same paper, section 3: sum over sqrt(x_i y_i) of L1-normalised vectors."""
    x, y = np.array([[4, 0, 0, 12], [1, 2, 3, 4]], np.uint8)

    kernel = np.sqrt(x / x.sum() * (y / y.sum())).sum()

    assert np.isclose(float(root_sift(x[None])[0] @ root_sift(y[None])[0]), kernel, atol=1e-6)


def test_vlad_by_hand() -> None:
    """Jegou et al., CVPR 2010, eq. 1, with residuals of unit length (Delhumeau et al. 2013).

    Words (0, 0) and (10, 0). Descriptors (3, 4) and (0, 2) are nearest to the first: residuals (.6, .8) and (0, 1) sum
    to (.6, 1.8). (10, -5) is nearest to the second: residual (0, -1).
    """
    words = np.array([[0, 0], [10, 0]], np.float32)

    sums = sum_residuals(np.array([[3, 4], [0, 2], [10, -5]], np.float32), words)

    assert np.allclose(sums, [[0.6, 1.8], [0, -1]], atol=1e-6)


def test_place_is_a_unit_vector_and_nearest_to_itself() -> None:
    vectors = np.stack([describe_place(detect_features(textured(seed))) for seed in range(4)])

    assert vectors.shape == (4, PLACE_SIZE)
    assert np.allclose(np.linalg.norm(vectors, axis=1), 1, atol=1e-4)
    assert rank_places(vectors[2], vectors.astype(np.float16))[0] == 2


def test_place_of_a_blank_picture_is_zero() -> None:
    assert not describe_place(detect_features(np.zeros((100, 100), np.uint8))).any()
    assert len(rank_places(np.zeros(PLACE_SIZE, np.float32), np.zeros((0, PLACE_SIZE), np.float32))) == 0


def test_ratio_test_drops_what_has_two_like_answers() -> None:
    """Lowe 2004, section 7.1: the second keypoint of a is as near to b1 as to b2 and must be dropped."""
    a = np.array([[1, 0, 0], [0, np.sqrt(0.5), np.sqrt(0.5)]], np.float32)
    b = np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1]], np.float32)

    assert match_descriptors(a, b).tolist() == [[0, 0]]
