"""Pins carried by the matches around them."""

from __future__ import annotations

import numpy as np
import pytest

from asfound.core.match import IN_USE
from asfound.core.match.belief import SUREST
from asfound.core.match.features import Features
from asfound.core.match.likeness import Likeness, no_likeness
from asfound.core.match.pin_near import CLOSE, NearPlace, place_by_matches

SIZE = (1024, 768)


def features(points: np.ndarray) -> Features:
    count = len(points)
    return Features(
        IN_USE,
        SIZE,
        points.astype(np.float32),
        np.ones(count, np.float32),
        np.zeros(count, np.float32),
        np.zeros((count, 128), np.uint8),
    )


def likeness_of(first: np.ndarray, *further: np.ndarray) -> Likeness:
    """Matches (k, 2) that agree, and further groups."""
    fields = {name: getattr(no_likeness("too few"), name) for name in Likeness.__dataclass_fields__}
    fields |= {"matches": first, "agrees": np.ones(len(first), np.bool_), "agreeing": len(first), "further": further}
    return Likeness(**fields)


@pytest.fixture(scope="module")
def moved() -> tuple[Features, Features, Likeness]:
    """All moves 50 px to the right but for what lies in the middle, which moves 80 px down."""
    rng = np.random.default_rng(1)
    here = rng.uniform((0, 0), SIZE, (600, 2))
    middle = (np.abs(here - np.array(SIZE) / 2) < 150).all(axis=1)
    there = here + np.where(middle[:, None], [0, 80], [50, 0])
    index = np.column_stack([np.arange(600)] * 2).astype(np.int32)
    return features(here), features(there), likeness_of(index[~middle], index[middle])


def test_pin_goes_with_the_group_of_its_neighbourhood(moved) -> None:
    here, there, likeness = moved

    on_part = place_by_matches(np.array([512.0, 384.0]), here, there, likeness, seed=1)
    beside = place_by_matches(np.array([150.0, 600.0]), here, there, likeness, seed=1)

    assert on_part.place_px == pytest.approx([512, 464], abs=1)
    assert beside.place_px == pytest.approx([200, 600], abs=1)
    assert on_part.is_close
    assert on_part.confidence > 0.9


def test_likeness_seen_from_the_other_picture_leads_back(moved) -> None:
    here, there, likeness = moved

    back = place_by_matches(np.array([512.0, 464.0]), there, here, likeness.reversed(), seed=1)

    assert back.place_px == pytest.approx([512, 384], abs=1)


def test_pin_far_from_all_matches_is_hardly_believed(moved) -> None:
    here, there, _ = moved
    corner = np.flatnonzero((here.points_px < [200, 150]).all(axis=1)).astype(np.int32)
    likeness = likeness_of(np.column_stack([corner, corner]))

    near = place_by_matches(np.array([980.0, 740.0]), here, there, likeness, seed=1)

    assert not near.is_close
    assert near.confidence < 0.3


def test_too_few_matches_lead_nowhere(moved) -> None:
    here, there, _ = moved
    three = np.column_stack([np.arange(3)] * 2).astype(np.int32)

    assert place_by_matches(np.array([5.0, 5.0]), here, there, likeness_of(three), seed=1) is None


def test_nearer_and_tighter_matches_make_a_place_surer_but_never_certain() -> None:
    def said(nearest: float, spread: float) -> float:
        return NearPlace(np.zeros(2), np.eye(2), nearest, spread).confidence

    assert said(0.1, 0.01) < said(0.03, 0.01) < said(0.03, 0.003) <= SUREST
    assert said(0.0, 0.0) == SUREST
    assert said(float("inf"), 0.01) == 0
    assert NearPlace(np.zeros(2), np.eye(2), CLOSE / 2, 1.0).is_close
