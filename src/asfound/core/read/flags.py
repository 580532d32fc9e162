"""The piece of tape around a row of strokes: its outline, and how much it looks like a flag.

A flag is one plain, four-sided piece that holds the number alone. A label full of words, a bolt head on a painted panel
and printing on a hose are not, and that is what keeps a number read from them from being proposed as a tape number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.read.patches import FloatArray, Patch

RgbArray = NDArray[np.uint8]

_WINDOW = 3.6
"""Half the side of the square looked at, in heights of the number."""
_WORKING_HEIGHT_PX = 20.0
"""The number's height is scaled to this before the outline is traced: enough for an outline, and fast."""
_TOLERANCE = 25.0
_SIZE_RANGE = (1.4, 40.0)
"""Area of the ground over height times length of the strokes: a flag full of digits, one of two on a large flag."""
_STRAIGHT = 0.012
"""How far an edge may leave a straight line, as a share of the way around."""
_MOST_EDGES = 6


@dataclass(frozen=True, slots=True)
class Flag:
    """The plain ground around a number.

    Attributes
    ----------
    corners_px : ndarray of shape (4, 2), float64
        Of the four-sided outline, clockwise in the picture, starting anywhere.
    fullness : float
        Share of the four-sided outline that is ground or ink, 0 to 1.
    """

    corners_px: FloatArray
    fullness: float


def trace_flag(image_rgb: RgbArray, patch: Patch) -> Flag | None:
    """Trace the plain piece that a row of strokes stands on.

    None when there is none, when it runs out of the picture or out of the window that was looked at, and when its size
    is out of all proportion to the strokes.

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
    ratio = float(cv2.contourArea(outline)) / max(1.0, patch.height_px * patch.length_px * scale * scale)
    rows, columns = mask.shape
    x, y, width, high = cv2.boundingRect(outline)
    cut = x <= 0 or y <= 0 or x + width >= columns or y + high >= rows
    if cut or not _SIZE_RANGE[0] < ratio < _SIZE_RANGE[1]:
        return None
    corners = _four_corners(outline, mask)
    shape = np.zeros_like(mask)
    cv2.fillConvexPoly(shape, np.rint(corners).astype(np.int32), 1)
    filled = cv2.drawContours(np.zeros_like(mask), [outline], -1, 1, -1)
    fullness = int(np.count_nonzero(shape & filled)) / max(1, int(np.count_nonzero(shape)))
    return Flag((corners + 0.5) / scale - 0.5 + (left, top), fullness)


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


def _four_corners(outline: NDArray[np.int32], mask: NDArray[np.uint8]) -> FloatArray:
    """The four sides of a flag whose outline has more: the band round the hose has its colour, a corner is hidden.

    Of every four long edges, the four whose lines meet in the shape that the ground fills best and whose sides the
    outline follows most.
    """
    around = float(cv2.arcLength(outline, True))
    edges = _long_edges(cv2.approxPolyDP(outline, _STRAIGHT * around, True).reshape(-1, 2).astype(np.float64))
    distance = cv2.distanceTransform((cv2.Canny(mask * 255, 50, 100) == 0).astype(np.uint8), cv2.DIST_L2, 3)
    best, most = np.asarray(cv2.boxPoints(cv2.minAreaRect(outline)), np.float64), 0.0
    for chosen in combinations(edges, 4):
        corners = _meeting_points(chosen)
        if corners is None:
            continue
        worth = _worth(corners, mask, distance)
        if worth > most:
            best, most = corners, worth
    return best[::-1] if cv2.contourArea(best.astype(np.float32), True) < 0 else best


def _long_edges(polygon: FloatArray) -> list[FloatArray]:
    """The longest edges of a polygon, at most six, in its order; each as its two ends."""
    ends = np.stack([polygon, np.roll(polygon, -1, axis=0)], 1)
    lengths = np.hypot(*(ends[:, 1] - ends[:, 0]).T)
    kept = sorted(np.argsort(-lengths, kind="stable")[:_MOST_EDGES].tolist())
    return [ends[edge] for edge in kept if lengths[edge] >= 3]


def _meeting_points(edges: Sequence[FloatArray]) -> FloatArray | None:
    """Where the lines of four edges meet, each with the next; None unless that is a convex shape near them."""
    lines = [_cross((*edge[0].tolist(), 1.0), (*edge[1].tolist(), 1.0)) for edge in edges]
    corners = []
    for line, after in zip(lines, [*lines[1:], lines[0]], strict=True):
        x, y, w = _cross(line, after)
        if abs(w) < 1e-6 * max(1.0, abs(x), abs(y)):
            return None
        corners.append((x / w, y / w))
    # The first side lies between the meeting with the line before and with the line after.
    shape = np.roll(np.array(corners, np.float64), 1, axis=0)
    reach = np.concatenate(edges)
    margin = 0.3 * float(np.ptp(reach, axis=0).max())
    if (shape < reach.min(0) - margin).any() or (shape > reach.max(0) + margin).any():
        return None
    return shape if cv2.isContourConvex(np.rint(shape * 16).astype(np.int32)) else None


def _cross(a: Sequence[float], b: Sequence[float]) -> tuple[float, float, float]:
    """The line through two points, or the point on two lines, in homogeneous coordinates."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _worth(corners: FloatArray, mask: NDArray[np.uint8], distance: NDArray[np.float32]) -> float:
    """Share of shape and ground that they have in common, times the share of the sides that the outline follows."""
    shape = np.zeros_like(mask)
    cv2.fillConvexPoly(shape, np.rint(corners * 16).astype(np.int32), 1, shift=4)
    common = int(np.count_nonzero(shape & mask)) / max(1, int(np.count_nonzero(shape | mask)))
    along = np.linspace(0, 1, 24)[:, None]
    sides = [start + (end - start) * along for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True)]
    at = np.rint(np.concatenate(sides)).astype(int)
    within = ((at >= 0) & (at < np.array(mask.shape[::-1]))).all(1)
    followed = int(np.count_nonzero(distance[at[within, 1], at[within, 0]] < 1.6)) / len(at)
    return common * followed * followed
