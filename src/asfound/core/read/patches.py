"""Places in a picture that look like a number on tape: dark strokes on a smooth, brighter ground, alone or in a row.

No reading happens here. Whoever reads decides which of these places holds a number, and which way up it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]
GrayArray = NDArray[np.uint8]

DETECT_SIDES = (1024, 2048)
"""Longest sides, in pixels, at which strokes are looked for: the first finds large numbers, the second small ones."""

_KERNELS = (9, 21)
_INK_RATIO = 0.72
_DARKEST_GROUND = 35
_SIDE_RANGE = (11, 180)
_ROUGHEST_GROUND = 0.22
_MOST_OTHER_INK = 0.14


@dataclass(frozen=True, slots=True)
class Stroke:
    """One connected piece of ink with smooth ground around it, in pixels of the picture.

    Attributes
    ----------
    centre_px, size_px : (float, float)
        Centre, and width and height, of its upright box.
    length_px, breadth_px : float
        Sides of its smallest turned box.
    angle_deg : float
        Direction of the long side, 0 to 180.
    ground, ink : float
        Mean brightness around it and of it, 0 to 255.
    roughness : float
        Standard deviation of the ground over its mean.
    """

    centre_px: tuple[float, float]
    size_px: tuple[float, float]
    length_px: float
    breadth_px: float
    angle_deg: float
    ground: float
    ink: float
    roughness: float

    def corners_px(self) -> FloatArray:
        """Corners of the smallest turned box, shape (4, 2)."""
        turned = (self.centre_px, (self.length_px, self.breadth_px), self.angle_deg)
        return np.asarray(cv2.boxPoints(turned), np.float64)


@dataclass(frozen=True, slots=True)
class Patch:
    """A row of strokes that may be a number.

    Attributes
    ----------
    strokes : tuple of Stroke
        In order along the row; which end comes first is not known.
    angle_deg : float
        Direction of the row, 0 to 180; of the upright box's rows when there is one stroke alone.
    height_px, length_px : float
        Of the row of strokes, across and along its direction.
    """

    strokes: tuple[Stroke, ...]
    centre_px: tuple[float, float]
    angle_deg: float
    height_px: float
    length_px: float

    def extent_px(self, direction_deg: float) -> float:
        """How far the strokes reach along a direction, from end to end."""
        angle = np.radians(direction_deg)
        corners = np.concatenate([stroke.corners_px() for stroke in self.strokes])
        return float(np.ptp(corners @ np.array([np.cos(angle), np.sin(angle)])))

    def box_px(self) -> tuple[FloatArray, FloatArray]:
        """Top left and bottom right of the upright box around the strokes."""
        corners = np.concatenate([stroke.corners_px() for stroke in self.strokes])
        return corners.min(0), corners.max(0)


def find_patches(image_gray: GrayArray) -> list[Patch]:
    """Find every row of one to three strokes on smooth ground.

    Parameters
    ----------
    image_gray : ndarray of shape (h, w), uint8

    Returns
    -------
    list of Patch
        Rows first, then lone strokes, each by growing roughness of the ground; most are no numbers.
    """
    return group_strokes(find_strokes(image_gray))


def find_strokes(image_gray: GrayArray) -> list[Stroke]:
    """Find pieces of ink on smooth ground, the smoothest first; each only once, although scales overlap."""
    found: list[Stroke] = []
    longest = max(image_gray.shape)
    for side in DETECT_SIDES:
        scale = side / longest
        how = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
        scaled = cv2.resize(image_gray, None, fx=scale, fy=scale, interpolation=how)
        if scale > 1:
            scaled = cv2.GaussianBlur(scaled, (0, 0), 0.6 * scale)
        for kernel in _KERNELS:
            found.extend(_strokes_at(scaled, kernel, scale))
    return _each_once(found)


def group_strokes(strokes: list[Stroke]) -> list[Patch]:
    """Rows of two and three alike strokes, then each stroke alone."""
    beside: dict[int, list[int]] = {number: [] for number in range(len(strokes))}
    centres = np.array([stroke.centre_px for stroke in strokes], np.float64).reshape(-1, 2)
    for one in range(len(strokes)):
        near = np.flatnonzero(np.hypot(*(centres - centres[one]).T) < 1.7 * strokes[one].length_px)
        beside[one] = [int(other) for other in near if other != one and _alike(strokes[one], strokes[other])]
    rows = [(one, other) for one in beside for other in beside[one] if one < other]
    triples = [
        (left, middle, right)
        for middle in beside
        for left, right in combinations(beside[middle], 2)
        if _in_line(strokes[left], strokes[middle], strokes[right])
    ]
    patches = [_row([strokes[number] for number in row]) for row in (*triples, *rows)]
    patches.sort(key=lambda patch: max(stroke.roughness for stroke in patch.strokes))
    return patches + [_row([stroke]) for stroke in strokes]


def _strokes_at(image: GrayArray, kernel: int, scale: float) -> list[Stroke]:
    ground = cv2.morphologyEx(image, cv2.MORPH_CLOSE, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (kernel, kernel)))
    ground = cv2.blur(ground, (kernel, kernel))
    ink = ((image < _INK_RATIO * ground.astype(np.float32)) & (ground > _DARKEST_GROUND)).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(ink, connectivity=8)
    width, height, area = stats[:, 2], stats[:, 3], stats[:, 4]
    side = np.maximum(width, height)
    fits = (side >= _SIDE_RANGE[0]) & (side <= _SIDE_RANGE[1]) & (area >= 0.12 * width * height)
    fits &= (side >= 0.8 * kernel) & (side <= 16 * kernel) & (np.minimum(width, height) >= 3)
    fits[:1] = False
    strokes = (_stroke(image, ink, labels, int(number), stats[number], scale) for number in np.flatnonzero(fits))
    return [stroke for stroke in strokes if stroke is not None]


def _stroke(
    image: GrayArray, ink: GrayArray, labels: NDArray[np.int32], number: int, stats: NDArray[np.int32], scale: float
) -> Stroke | None:
    x, y, width, height = (int(value) for value in stats[:4])
    side = max(width, height)
    margin = max(2, round(0.22 * side))
    rows = slice(max(0, y - margin), y + height + margin)
    columns = slice(max(0, x - margin), x + width + margin)
    own = (labels[rows, columns] == number).astype(np.uint8)
    inked = ink[rows, columns]
    near = cv2.dilate(own, np.ones((2 * margin + 1, 2 * margin + 1), np.uint8)) > 0
    other = np.count_nonzero((inked > 0) & (own == 0) & near) / np.count_nonzero(near)
    if other > _MOST_OTHER_INK:
        return None
    edge = 2 * max(1, round(0.05 * side)) + 1
    ring = image[rows, columns][near & (cv2.dilate(inked, np.ones((edge, edge), np.uint8)) == 0)]
    if ring.size < 0.12 * side * side:
        return None
    ground = float(ring.mean())
    roughness = float(ring.std()) / max(ground, 1.0)
    if roughness > _ROUGHEST_GROUND:
        return None
    (centre_x, centre_y), (one, two), angle = cv2.minAreaRect(cv2.findNonZero(own))
    if one < two:
        one, two, angle = two, one, angle + 90
    return Stroke(
        ((centre_x + columns.start + 0.5) / scale - 0.5, (centre_y + rows.start + 0.5) / scale - 0.5),
        (width / scale, height / scale),
        (one + 1) / scale,
        (two + 1) / scale,
        float(angle) % 180,
        ground,
        float(image[rows, columns][own > 0].mean()),
        roughness,
    )


def _each_once(strokes: list[Stroke]) -> list[Stroke]:
    kept: list[Stroke] = []
    centres: list[tuple[float, float]] = []
    for stroke in sorted(strokes, key=lambda stroke: stroke.roughness):
        if centres:
            gaps = np.abs(np.array(centres) - stroke.centre_px).max(1)
            near = np.flatnonzero(gaps < 0.25 * stroke.length_px)
            if any(0.7 < kept[number].length_px / stroke.length_px < 1.4 for number in near):
                continue
        kept.append(stroke)
        centres.append(stroke.centre_px)
    return kept


def _alike(one: Stroke, other: Stroke) -> bool:
    longer, shorter = max(one.length_px, other.length_px), min(one.length_px, other.length_px)
    gap = float(np.hypot(one.centre_px[0] - other.centre_px[0], one.centre_px[1] - other.centre_px[1]))
    brighter, darker = max(one.ground, other.ground), min(one.ground, other.ground)
    contrast = abs(one.ink / one.ground - other.ink / other.ground)
    return longer < 1.6 * shorter and 0.3 * shorter < gap < 1.5 * shorter and brighter < 1.4 * darker and contrast < 0.3


def _in_line(left: Stroke, middle: Stroke, right: Stroke) -> bool:
    first = np.subtract(middle.centre_px, left.centre_px)
    second = np.subtract(right.centre_px, middle.centre_px)
    cosine = float(first @ second) / max(1e-9, float(np.hypot(*first) * np.hypot(*second)))
    return cosine > 0.94 and _alike_pair(left, right)


def _alike_pair(one: Stroke, other: Stroke) -> bool:
    return max(one.length_px, other.length_px) < 1.6 * min(one.length_px, other.length_px)


def _row(strokes: list[Stroke]) -> Patch:
    centres = np.array([stroke.centre_px for stroke in strokes])
    along = centres[-1] - centres[0]
    angle = float(np.degrees(np.arctan2(along[1], along[0]))) % 180 if len(strokes) > 1 else 0.0
    u = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    v = np.array([-u[1], u[0]])
    corners = np.concatenate([stroke.corners_px() for stroke in strokes])
    along_px, across_px = corners @ u, corners @ v
    middle = u * (along_px.min() + along_px.max()) / 2 + v * (across_px.min() + across_px.max()) / 2
    return Patch(
        tuple(strokes),
        (float(middle[0]), float(middle[1])),
        angle,
        float(np.ptp(across_px)),
        float(np.ptp(along_px)),
    )
