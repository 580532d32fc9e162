"""Further features of a picture, as if the camera had stood aside: for views that turn further than keypoints follow.

Affine simulation of Morel and Yu (ASIFT, SIAM Journal on Imaging Sciences 2, 2009), of which two tilts serve: a person
who takes a place up again stands to the left or right, or higher or lower. Costs about two further detections.
"""

from __future__ import annotations

import math

import cv2
import numpy as np

from asfound.core.match.arrays import FloatArray, GrayImage
from asfound.core.match.features import Features
from asfound.core.match.method import get_method
from asfound.core.match.pixels import resize_gray

TILT = 1.6
"""How much narrower, or lower, the picture is made: what turning by about 51 degrees does to a plane."""
BLUR = 0.8
"""Smoothing before a side is made shorter, in the paper's measure: BLUR times the root of the tilt squared less one."""
EDGE_PX = 8
"""Keypoints of a tilted view nearer to the edge than this are left out. Chosen by hand; not measured."""
NEXT_TO_NIL = 0.01
"""Smoothing in pixels that changes nothing."""


def with_tilts(gray: GrayImage, features: Features) -> Features:
    """The features of a picture and those of its two tilted views, at their places in the picture itself.

    Parameters
    ----------
    gray : ndarray of shape (h, w), uint8
        The picture as displayed, any size.
    features : Features
        Of the same picture; they come first, so that their indices stay. Scales and angles of the others are those in
        the tilted view.
    """
    detect = get_method(features.method).detect
    upright = resize_gray(gray, features.size_px)
    width, height = features.size_px
    parts = [(features.points_px, features.scales, features.angles, features.descriptors)]
    for narrower, lower in ((TILT, 1.0), (1.0, TILT)):
        size = max(1, round(width / narrower)), max(1, round(height / lower))
        found = detect(_shortened(upright, size, narrower, lower))
        back: FloatArray = np.array([width / size[0], height / size[1]])
        points = ((found.points_px + 0.5) * back - 0.5).astype(np.float32)
        inside = ((points >= EDGE_PX) & (points < np.array([width, height]) - EDGE_PX)).all(axis=1)
        parts.append((points[inside], found.scales[inside], found.angles[inside], found.descriptors[inside]))
    joined = [np.concatenate(columns) for columns in zip(*parts, strict=True)]
    return Features(features.method, features.size_px, *joined)


def _shortened(gray: GrayImage, size: tuple[int, int], narrower: float, lower: float) -> GrayImage:
    """The picture at `size`, smoothed first along each side that is made shorter, so that nothing aliases."""
    sigma_x, sigma_y = (BLUR * math.sqrt(tilt * tilt - 1) for tilt in (narrower, lower))
    # OpenCV takes a sigma of 0 along y for "the same as along x", so that a side that stays is smoothed by next to nil.
    smooth = cv2.GaussianBlur(gray, (0, 0), max(sigma_x, NEXT_TO_NIL), sigmaY=max(sigma_y, NEXT_TO_NIL))
    return np.asarray(cv2.resize(smooth, size, interpolation=cv2.INTER_LINEAR), dtype=np.uint8)
