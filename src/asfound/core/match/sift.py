"""SIFT keypoints (Lowe, IJCV 60, 2004) on evened light, and their descriptors as RootSIFT (Arandjelovic and Zisserman,
CVPR 2012)."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.match.arrays import Float32Array, GrayImage
from asfound.core.match.method import Keypoints

MOST = 4096
CONTRAST = 0.03
LONGEST_PX = 1024
CLIP, TILES = 2.0, 8
"""Most keypoints, least contrast, longest side, and how light is evened: measured against others in
docs/decisions/0012."""
SIFT_WIDTH, MOST_BYTE = 128, 255
LEAST_SUM = 1e-7
"""Guards the division of a blank descriptor by its sum."""

SETTINGS = f"sift {MOST} contrast {CONTRAST} longest {LONGEST_PX} even {CLIP} {TILES}"


def even_light(gray: GrayImage) -> GrayImage:
    """A lamp in a dark bay leaves most of the picture below any contrast threshold: its light evened out."""
    return np.asarray(cv2.createCLAHE(CLIP, (TILES, TILES)).apply(gray), np.uint8)


def detect_sift(even: GrayImage) -> Keypoints:
    """The strongest keypoints of a picture of even light, with SIFT descriptors; none where nothing stands out."""
    sift = cv2.SIFT.create(nfeatures=MOST, contrastThreshold=CONTRAST)
    found, descriptors = sift.detectAndCompute(even, None)
    if descriptors is None or len(found) == 0:
        return Keypoints(
            np.zeros((0, 2), np.float32),
            np.zeros(0, np.float32),
            np.zeros(0, np.float32),
            np.zeros((0, SIFT_WIDTH), np.uint8),
        )
    # OpenCV's quick selection leaves the order of equals to chance of layout: sort by strength, then by place.
    order = np.lexsort(([k.pt[0] for k in found], [k.pt[1] for k in found], [-k.response for k in found]))[:MOST]
    return Keypoints(
        np.array([found[i].pt for i in order], dtype=np.float32),
        np.array([found[i].size for i in order], dtype=np.float32),
        np.array([found[i].angle for i in order], dtype=np.float32),
        np.clip(np.rint(descriptors[order]), 0, MOST_BYTE).astype(np.uint8),
    )


def root_sift(descriptors: NDArray[np.uint8]) -> Float32Array:
    """Square root of the descriptor divided by its sum: unit vectors whose dot product is the Hellinger kernel."""
    values = descriptors.astype(np.float32)
    values /= np.maximum(values.sum(axis=1, keepdims=True), LEAST_SUM)
    return np.sqrt(values, out=values)
