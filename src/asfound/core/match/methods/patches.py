"""SIFT keypoints, described by SIFT and two patches around them together, by a network of our own."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from asfound.core.match.arrays import Float32Array, GrayImage, unit_rows
from asfound.core.match.method import Keypoints, MatchMethod
from asfound.core.match.patch_network import WIDTH, load_network
from asfound.core.match.patch_sampling import sample_patches
from asfound.core.match.sift import LONGEST_PX, SETTINGS, detect_sift, even_light, root_sift

ZERO, STEPS, MOST_BYTE = 128, 320.0, 255
"""Stored as bytes: of a unit vector of 128 numbers hardly any passes .4."""


def detect_patches(gray: GrayImage) -> Keypoints:
    """The strongest keypoints of a reduced picture; none where nothing stands out."""
    even = even_light(gray)
    found = detect_sift(even)
    patches = sample_patches(even, found.points_px, found.scales, found.angles)
    described = load_network().describe(root_sift(found.descriptors), patches)
    as_bytes = np.clip(np.rint(described * STEPS) + ZERO, 0, MOST_BYTE).astype(np.uint8)
    return Keypoints(found.points_px, found.scales, found.angles, as_bytes)


def as_unit(descriptors: NDArray[np.uint8]) -> Float32Array:
    """Descriptors (n, 128) as unit vectors."""
    return unit_rows(descriptors.astype(np.float32) - ZERO)


# Other tables of the network are another method: likenesses, places and scenes are kept by the name.
METHOD = MatchMethod(
    name="patches",
    settings=f"patches 1 of {SETTINGS}",
    longest_px=LONGEST_PX,
    descriptor_size=WIDTH,
    detect=detect_patches,
    normalise=as_unit,
)
