"""What every way to describe pictures must do, whichever is added."""

from __future__ import annotations

import numpy as np
import pytest

from asfound.core.match.features import StoredFeaturesError, detect_features, pack_features, unpack_features
from asfound.core.match.geometry import apply_homography
from asfound.core.match.method import find_methods, get_method
from asfound.core.match.verify import verify_pair

from .pictures import textured, warped

METHODS = sorted(find_methods())


@pytest.mark.parametrize("method", METHODS)
def test_known_warp_is_recovered(method: str) -> None:
    truth = np.array([[0.92, -0.16, 60], [0.14, 0.95, -20], [1e-5, 2e-5, 1.0]])
    first, second = textured(1), warped(textured(1), truth)

    likeness = verify_pair(detect_features(first, method=method), detect_features(second, method=method))

    corners = np.array([[100.0, 100], [540, 100], [540, 380], [100, 380]])
    assert likeness.homography is not None
    found = apply_homography(likeness.homography, corners)
    assert np.linalg.norm(found - apply_homography(truth, corners), axis=1).max() < 3
    assert likeness.probability > 0.9


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("value", [0, 128, 255])
def test_blank_picture_has_no_keypoints(method: str, value: int) -> None:
    assert len(detect_features(np.full((300, 400), value, np.uint8), method=method)) == 0


@pytest.mark.parametrize("method", METHODS)
def test_same_picture_gives_the_same_bytes_twice(method: str) -> None:
    gray = textured(2)

    assert pack_features(detect_features(gray, method=method)) == pack_features(detect_features(gray, method=method))


@pytest.mark.parametrize("method", METHODS)
def test_stored_features_come_back(method: str) -> None:
    features = detect_features(textured(3), method=method)

    back = unpack_features(pack_features(features))

    assert back.method == method
    assert back.size_px == features.size_px
    assert np.abs(back.points_px - features.points_px).max() <= 1 / 32 + 1e-6
    assert np.array_equal(back.descriptors, features.descriptors)


@pytest.mark.parametrize("method", METHODS)
def test_normalised_descriptors_are_unit_vectors(method: str) -> None:
    way = get_method(method)
    rng = np.random.default_rng(0)

    unit = way.normalise(rng.integers(0, 256, (20, way.descriptor_size)).astype(np.uint8))

    assert np.allclose(np.linalg.norm(unit, axis=1), 1, atol=1e-5)


@pytest.mark.parametrize("damage", [b"", b"AFF1", b"nonsense" * 20])
def test_damaged_features_are_refused(damage: bytes) -> None:
    with pytest.raises(StoredFeaturesError):
        unpack_features(damage)


def test_truncated_features_are_refused_at_every_length() -> None:
    packed = pack_features(detect_features(textured(4, (200, 160))))

    for length in range(0, len(packed) - 1, max(1, len(packed) // 60)):
        with pytest.raises(StoredFeaturesError):
            unpack_features(packed[:length])


def test_unknown_method_names_the_known_ones() -> None:
    with pytest.raises(ValueError, match="patches"):
        detect_features(textured(0), method="no such way")


@pytest.mark.parametrize("bad", [np.zeros((4, 4, 3), np.uint8), np.zeros((4, 4)), np.zeros((0, 4), np.uint8)])
def test_what_is_no_gray_picture_is_refused(bad: np.ndarray) -> None:
    with pytest.raises(ValueError, match="gray"):
        detect_features(bad)
