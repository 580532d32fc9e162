"""Tilted views: their features lie where the same thing shows in the picture itself."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from skimage import data

from asfound.core.match.features import detect_features, normalised_descriptors
from asfound.core.match.tilts import with_tilts


@pytest.fixture(scope="module")
def gray() -> np.ndarray:
    """A photograph from scikit-image's own data."""
    return cv2.cvtColor(data.rocket(), cv2.COLOR_RGB2GRAY)


def test_own_features_come_first_and_all_lie_in_the_picture(gray: np.ndarray) -> None:
    plain = detect_features(gray)
    tilted = with_tilts(gray, plain)

    assert len(tilted) > 1.5 * len(plain)
    assert np.array_equal(tilted.points_px[: len(plain)], plain.points_px)
    assert np.array_equal(tilted.descriptors[: len(plain)], plain.descriptors)
    assert (tilted.points_px >= 0).all()
    assert (tilted.points_px < np.array(plain.size_px)).all()


def test_a_picture_seen_from_well_aside_finds_more_of_its_places_again(gray: np.ndarray) -> None:
    """Squeezed to .55 of its width the picture is a plane seen from 57 degrees aside, whose true places are known."""
    narrow = cv2.resize(cv2.GaussianBlur(gray, (0, 0), 1.2, sigmaY=0.01), None, fx=0.55, fy=1.0)
    seen = detect_features(narrow)
    plain = detect_features(gray)

    def found_again(features: object) -> int:
        likeness = normalised_descriptors(seen) @ normalised_descriptors(features).T
        best = likeness.argmax(axis=1)
        mutual = likeness.argmax(axis=0)[best] == np.arange(len(best))
        true = (seen.points_px + 0.5) * (1 / 0.55, 1.0) - 0.5
        return int((mutual & (np.linalg.norm(features.points_px[best] - true, axis=1) < 3)).sum())

    assert found_again(with_tilts(gray, plain)) > 1.3 * found_again(plain)
