"""Fit the probability that two pictures show one place (`belief.ONE_PLACE`), on rendered bays with true cameras.

    python tests/bench/pair_odds.py FOLDER...

Two pictures show one place when more than half of their agreeing matches lie near the epipolar lines of the true
cameras. Equal units on one machine share many matches that do not. How near is `NEAR_LINE`, chosen by hand.
"""

from __future__ import annotations

import sys
from itertools import combinations
from pathlib import Path

import numpy as np
from bays import BaySet, Truth
from logistic import Counted, report

from asfound.core.match.belief import ONE_PLACE
from asfound.core.match.bundle import skew
from asfound.core.match.camera import PinholeCamera
from asfound.core.match.features import Features, normalised_descriptors
from asfound.core.match.geometry import epipolar_distance_px
from asfound.core.match.likeness import Likeness
from asfound.core.match.pixels import diagonal_px, middle_px
from asfound.core.match.putative import match_descriptors
from asfound.core.match.verify import LEAST_AGREEING, measure_pair

NEAR_LINE = 0.006
"""In fractions of the diagonal: three times what matches of a pair may be off their own lines."""


def camera_of(truth: Truth, features: Features) -> PinholeCamera:
    """The true camera at the size of the features; the manifest's look along minus z with y up."""
    pose = np.array(truth.entry["camera_to_world"], np.float64)
    rotation = (pose[:, :3] @ np.diag([1.0, -1.0, -1.0])).T
    focal = truth.entry["focal_px"] * max(features.size_px) / max(truth.size)
    return PinholeCamera(rotation, -rotation @ pose[:, 3], focal, features.size_px)


def true_fundamental(a: PinholeCamera, b: PinholeCamera) -> np.ndarray:
    """F with b^T F a = 0 (Hartley and Zisserman, Multiple View Geometry, 2nd ed., 2004, section 9.2.4)."""
    turn = b.rotation @ a.rotation.T
    shift = b.translation - turn @ a.translation
    inner = [np.array([[c.focal_px, 0, m[0]], [0, c.focal_px, m[1]], [0, 0, 1]])
             for c, m in ((a, middle_px(a.size_px)), (b, middle_px(b.size_px)))]  # fmt: skip
    return np.linalg.inv(inner[1]).T @ skew(shift[None])[0] @ turn @ np.linalg.inv(inner[0])


def is_one_place(likeness: Likeness, a: Features, b: Features, cameras: tuple[PinholeCamera, PinholeCamera]) -> bool:
    """Whether most agreeing matches lie near the true epipolar lines."""
    agreeing = likeness.matches[likeness.agrees]
    points_a, points_b = a.points_px[agreeing[:, 0]], b.points_px[agreeing[:, 1]]
    off = epipolar_distance_px(true_fundamental(*cameras), points_a, points_b)
    return bool(np.mean(off < NEAR_LINE * diagonal_px(b.size_px)) > 0.5)


def pairs_of(bay: BaySet) -> Counted:
    """All pairs of the bay that agree on enough to say anything."""
    counted = Counted()
    for one, other in combinations([p for p in bay.photos if p.bay], 2):
        likeness = bay.likeness(one.picture_id, other.picture_id)
        if likeness.agreeing < LEAST_AGREEING:
            continue
        a, b = bay.features(one.picture_id), bay.features(other.picture_id)
        pairs = match_descriptors(normalised_descriptors(a), normalised_descriptors(b))
        measured = measure_pair(a, b, likeness.matches[likeness.agrees], pairs)
        if measured is not None:
            cameras = camera_of(one, a), camera_of(other, b)
            counted.add(measured, is_one_place(likeness, a, b, cameras))
    return counted


if __name__ == "__main__":
    report(ONE_PLACE, {folder: pairs_of(BaySet(Path(folder))) for folder in sys.argv[1:]})
