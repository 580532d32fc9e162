"""The first look that spares most whole comparisons."""

from __future__ import annotations

import numpy as np
import pytest
from skimage import data

from asfound.core.match import IN_USE
from asfound.core.match.features import Features, detect_features
from asfound.core.match.first_look import is_worth_comparing, most_votes
from asfound.core.match.verify import verify_pair

from .pictures import textured, warped


def _keypoints(scales: list[float], angles: list[float]) -> Features:
    count = len(scales)
    return Features(
        IN_USE,
        (640, 480),
        np.full((count, 2), 100, np.float32),
        np.array(scales, np.float32),
        np.array(angles, np.float32),
        np.zeros((count, 128), np.uint8),
    )


def test_votes_by_hand() -> None:
    """Three matches turn by about 40 degrees and double in size; one keeps its size, one turns the other way."""
    a = _keypoints([4, 5, 6, 4, 4], [0, 350, 10, 0, 0])
    b = _keypoints([8.4, 10.5, 12.6, 4, 8.4], [40, 31, 52, 40, 320])
    pairs = np.column_stack([np.arange(5), np.arange(5)]).astype(np.int32)

    assert most_votes(a, b, pairs) == 3


def test_votes_are_counted_across_a_full_turn() -> None:
    a, b = _keypoints([4, 4], [0, 0]), _keypoints([4, 4], [357, 3])

    assert most_votes(a, b, np.array([[0, 0], [1, 1]], np.int32)) == 2


def test_matches_that_would_put_the_picture_elsewhere_do_not_vote_together() -> None:
    """Same turn, same size, but 300 of 800 pixels of the diagonal apart: more than a fifth."""
    a, b = _keypoints([4, 4], [0, 0]), _keypoints([4, 4], [0, 0])
    b.points_px[1, 0] += 300

    assert most_votes(a, b, np.array([[0, 0], [1, 1]], np.int32)) == 1


def test_no_matches_have_no_votes() -> None:
    assert most_votes(_keypoints([], []), _keypoints([], []), np.zeros((0, 2), np.int32)) == 0


@pytest.fixture(scope="module")
def person_outdoors() -> Features:
    """A photo that scikit-image ships."""
    return detect_features(data.camera())


def test_turned_and_smaller_view_is_worth_comparing(person_outdoors: Features) -> None:
    smaller = warped(data.camera(), np.array([[0.7, 0.4, 20], [-0.4, 0.7, 200], [0, 0, 1.0]]))

    assert is_worth_comparing(person_outdoors, detect_features(smaller))


@pytest.mark.parametrize("name", ["coins", "brick", "moon"])
def test_photo_of_something_else_is_passed_over(person_outdoors: Features, name: str) -> None:
    other = detect_features(getattr(data, name)())

    assert not is_worth_comparing(person_outdoors, other)
    assert verify_pair(person_outdoors, other).probability == 0


def test_strongest_keypoints_keep_their_indices() -> None:
    """A first look takes the front of the arrays, so that what it finds means the same in the whole comparison."""
    whole = detect_features(textured(5))

    few = whole.strongest(100)

    assert len(few) == 100
    assert np.array_equal(few.points_px, whole.points_px[:100])
    assert whole.strongest(len(whole)) is whole
