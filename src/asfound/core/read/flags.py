"""The piece of tape around a row of strokes: its outline, and how much it looks like a flag.

A flag is one plain, four-sided piece that holds the number alone. A label full of words, a bolt head on a painted panel
and printing on a hose are not, and that is what keeps a number read from them from being proposed as a tape number.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.read.patches import FloatArray, Patch

RgbArray = NDArray[np.uint8]

_WINDOW = 3.6
"""Half the side of the square looked at, in heights of the number."""
_WORKING_HEIGHT_PX = 20.0
"""The number's height is scaled to this before the outline is traced: enough for an outline, and fast."""
_TOLERANCE = 30.0
_LEAST_GROUND = 1.5


@dataclass(frozen=True, slots=True)
class Flag:
    """The plain ground around a number.

    Attributes
    ----------
    corners_px : ndarray of shape (4, 2), float64
        Of the four-sided outline, clockwise in the picture, starting anywhere.
    size_ratio : float
        Area of the ground over height times length of the number; tape flags have 2 to 12.
    fullness : float
        Share of the four-sided outline that is ground or ink, 0 to 1.
    cut : bool
        It runs out of the picture or of the window that was looked at.
    """

    corners_px: FloatArray
    size_ratio: float
    fullness: float
    cut: bool

    @property
    def angle_deg(self) -> float:
        """Direction of its longest side, 0 to 180."""
        sides = np.roll(self.corners_px, -1, axis=0) - self.corners_px
        longest = sides[int(np.argmax(np.hypot(*sides.T)))]
        return float(np.degrees(np.arctan2(longest[1], longest[0]))) % 180


def trace_flag(image_rgb: RgbArray, patch: Patch) -> Flag | None:
    """Trace the plain piece that a row of strokes stands on; None when there is none.

    Parameters
    ----------
    image_rgb : ndarray of shape (h, w, 3), uint8
    patch : Patch
        In pixels of `image_rgb`.
    """
    height = min(stroke.length_px for stroke in patch.strokes)
    scale = min(1.0, _WORKING_HEIGHT_PX / height)
    radius = _WINDOW * height + patch.length_px / 2
    left, top = (max(0, int(centre - radius)) for centre in patch.centre_px)
    right, bottom = (
        min(limit, int(centre + radius) + 2)
        for centre, limit in zip(patch.centre_px, image_rgb.shape[1::-1], strict=True)
    )
    window = image_rgb[top:bottom, left:right]
    if scale < 1:
        window = np.asarray(cv2.resize(window, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA), np.uint8)
    mask = _ground_mask(window, patch, (left, top), scale)
    if mask is None:
        return None
    contours, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    outline = max(contours, key=cv2.contourArea)
    area = float(cv2.contourArea(outline))
    text_area = max(1.0, patch.height_px * patch.length_px * scale * scale)
    if area < _LEAST_GROUND * text_area:
        return None
    corners = _four_corners(outline)
    rows, columns = mask.shape
    x, y, width, height_ = cv2.boundingRect(outline)
    cut = x <= 0 or y <= 0 or x + width >= columns or y + height_ >= rows
    fullness = area / max(1.0, float(cv2.contourArea(corners.astype(np.float32))))
    corners_px = (corners + 0.5) / scale - 0.5 + (left, top)
    return Flag(corners_px, area / text_area, min(fullness, 1.0), cut)


def _ground_mask(window: RgbArray, patch: Patch, origin: tuple[int, int], scale: float) -> NDArray[np.uint8] | None:
    lab = cv2.cvtColor(cv2.medianBlur(window, 3), cv2.COLOR_RGB2LAB).astype(np.float32)
    boxes = np.zeros(window.shape[:2], np.uint8)
    for stroke in patch.strokes:
        turned = ((stroke.centre_px[0] - origin[0]) * scale, (stroke.centre_px[1] - origin[1]) * scale)
        size = (stroke.length_px * scale, stroke.breadth_px * scale)
        cv2.fillPoly(boxes, [np.rint(cv2.boxPoints((turned, size, stroke.angle_deg))).astype(np.int32)], 1)
    reach = max(2, round(0.2 * min(stroke.length_px for stroke in patch.strokes) * scale))
    near = cv2.dilate(boxes, np.ones((2 * reach + 1, 2 * reach + 1), np.uint8)) > 0
    lightness = lab[..., 0][near]
    if lightness.size < 12:
        return None
    bright = near & (lab[..., 0] >= np.percentile(lightness, 55))
    gaps = (lab - np.median(lab[bright], axis=0)) * np.array([0.6, 1.3, 1.3], np.float32)
    plain = (np.sqrt((gaps * gaps).sum(-1)) < _TOLERANCE).astype(np.uint8)
    plain[boxes > 0] = 1
    plain = cv2.morphologyEx(plain, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    _, labels = cv2.connectedComponents(plain, connectivity=4)
    own = np.bincount(labels[bright & (labels > 0)].ravel(), minlength=2)
    own[0] = 0
    return (labels == own.argmax()).astype(np.uint8) if own.max() else None


def _four_corners(outline: NDArray[np.int32]) -> FloatArray:
    hull = cv2.convexHull(outline)
    around = float(cv2.arcLength(hull, True))
    for share in (0.02, 0.04, 0.06, 0.08, 0.1):
        simple = cv2.approxPolyDP(hull, share * around, True)
        if len(simple) == 4:
            return np.asarray(simple, np.float64).reshape(4, 2)
        if len(simple) < 4:
            break
    return np.asarray(cv2.boxPoints(cv2.minAreaRect(hull)), np.float64)
