"""A flag laid flat: seen square on, with the number in its middle and nothing else in sight.

What hangs behind and beside a flag (hoses, other flags, print) is painted over with the flag's own ground, so that a
reader of digits meets the number alone, however slanted the flag was to the camera.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.read.engine import CROP_HIGH_PX, CROP_WIDE_PX, DIGIT_SHARE
from asfound.core.read.flags import Flag, RgbArray
from asfound.core.read.patches import FloatArray

_HIGH_PX = 72
"""Height at which the ink of a flag is looked for, its longer side lying level."""
_INK_RATIO = 0.8
_ROOM = 0.12
"""Ground left around the ink, as a share of its longer side."""
_LEAST_INK, _MOST_INK = 0.22, 0.97


@dataclass(frozen=True, slots=True)
class FlatFlag:
    """A flag and the ink on it.

    Attributes
    ----------
    to_picture : ndarray of shape (3, 3), float64
        Homography from the flat flag, `size_px`, to pixels of the picture.
    size_px : (int, int)
        Width and height of the flat flag; its longer side lies level.
    ink_px : (float, float, float, float)
        Left, top, width and height of the ink, in pixels of the flat flag.
    ground_rgb : (float, float, float)
        Colour of the flag beside its ink.
    pieces : int
        Connected pieces of ink: the digits, when none touch.
    whole : bool
        No more ink stands beside it: none of the number is hidden or lies on the flag's edge.
    """

    to_picture: FloatArray
    size_px: tuple[int, int]
    ink_px: tuple[float, float, float, float]
    ground_rgb: tuple[float, float, float]
    pieces: int
    whole: bool

    def box_px(self) -> tuple[FloatArray, FloatArray]:
        """Top left and bottom right of the upright box around the ink, in the picture."""
        left, top, width, height = self.ink_px
        corners = np.array([[left, top], [left + width, top], [left + width, top + height], [left, top + height]])
        seen = cv2.perspectiveTransform(corners[None], self.to_picture)[0]
        return seen.min(0), seen.max(0)

    def line_deg(self, turn_deg: float) -> float:
        """Direction in the picture, 0 to 360, of a line of writing that runs along `turn_deg` on the flat flag."""
        angle = np.radians(turn_deg)
        centre = np.array([self.ink_px[0] + self.ink_px[2] / 2, self.ink_px[1] + self.ink_px[3] / 2])
        ends = np.stack([centre, centre + np.array([np.cos(angle), np.sin(angle)])])
        start, end = cv2.perspectiveTransform(ends[None], self.to_picture)[0]
        return float(np.degrees(np.arctan2(end[1] - start[1], end[0] - start[0]))) % 360


def flatten_flag(image_rgb: RgbArray, flag: Flag) -> FlatFlag | None:
    """Lay a flag flat and find the ink on it; None when there is none that could be a number.

    Parameters
    ----------
    image_rgb : ndarray of shape (h, w, 3), uint8
    flag : Flag
        In pixels of `image_rgb`.
    """
    corners = flag.corners_px
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    if sides[0] + sides[2] < sides[1] + sides[3]:
        corners, sides = np.roll(corners, -1, axis=0), np.roll(sides, -1)
    long, short = float(sides[0] + sides[2]), float(sides[1] + sides[3])
    wide = round(_HIGH_PX * min(4.0, long / max(short, 1.0)))
    square = np.array([[0, 0], [wide, 0], [wide, _HIGH_PX], [0, _HIGH_PX]], np.float32) - 0.5
    to_picture = cv2.getPerspectiveTransform(square, corners.astype(np.float32))
    flat = _seen(image_rgb, to_picture, (wide, _HIGH_PX), short / 2 / _HIGH_PX)
    ink = _ink(flat)
    boxes, others = _pieces(ink)
    if not boxes:
        return None
    low = np.min([box[:2] for box in boxes], axis=0)
    high = np.max([np.add(box[:2], box[2:]) for box in boxes], axis=0)
    ground = flat[cv2.dilate(ink, np.ones((5, 5), np.uint8)) == 0]
    if len(ground) < 0.2 * flat.shape[0] * flat.shape[1]:
        return None
    red, green, blue = np.median(ground, axis=0).tolist()
    box = (float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1]))
    whole = not any(_beside(np.array(box), other, len(boxes)) for other in others)
    return FlatFlag(np.asarray(to_picture, np.float64), (wide, _HIGH_PX), box, (red, green, blue), len(boxes), whole)


def crop_flat(image_rgb: RgbArray, flat: FlatFlag, turn_deg: float, zoom: float = 1.0) -> RgbArray:
    """The number of a flag as an engine wants it: writing along `turn_deg` on the flat flag becomes level.

    Parameters
    ----------
    image_rgb : ndarray of shape (h, w, 3), uint8
    flat : FlatFlag
    turn_deg : float
        0 when the writing runs along the flag, to the right.
    zoom : float
        More than 1 shows the digits larger.
    """
    angle = np.radians(turn_deg)
    along = np.array([np.cos(angle), np.sin(angle)])
    down = np.array([-along[1], along[0]])
    left, top, width, height = flat.ink_px
    tall = abs(down[0]) * width + abs(down[1]) * height
    step = tall / (CROP_HIGH_PX * DIGIT_SHARE * zoom)
    centre = np.array([left + width / 2, top + height / 2])
    origin = centre - along * step * (CROP_WIDE_PX - 1) / 2 - down * step * (CROP_HIGH_PX - 1) / 2
    to_flat = np.column_stack([np.append(along * step, 0), np.append(down * step, 0), np.append(origin, 1)])
    to_picture = flat.to_picture @ to_flat
    size = (CROP_WIDE_PX, CROP_HIGH_PX)
    crop = _seen(image_rgb, to_picture, size, _pixels_each(to_picture, size))
    # Beside the number the flag's own ground goes on, over its edges and whatever hangs there.
    edge = _ROOM * max(width, height)
    low = np.maximum((left - edge, top - edge), 0)
    high = np.minimum((left + width + edge, top + height + edge), flat.size_px)
    inside = np.array([low, (high[0], low[1]), high, (low[0], high[1])], np.float64)
    there = cv2.perspectiveTransform(inside[None], np.linalg.inv(to_flat))[0]
    mask = np.zeros(crop.shape[:2], np.uint8)
    cv2.fillConvexPoly(mask, np.rint(there).astype(np.int32), 255)
    share = cv2.blur(mask, (3, 3)).astype(np.float32)[..., None] / 255
    return np.asarray(crop * share + np.array(flat.ground_rgb, np.float32) * (1 - share), np.uint8)


def _seen(image_rgb: RgbArray, to_picture: NDArray[np.float64], size_px: tuple[int, int], step: float) -> RgbArray:
    """Part of the picture by a homography; `step` is how many of its pixels fall on one, so that none are skipped."""
    width, height = size_px
    frame = np.array([[[0, 0], [width, 0], [width, height], [0, height]]], np.float64)
    corners = cv2.perspectiveTransform(frame, np.asarray(to_picture, np.float64))[0]
    limit = np.array(image_rgb.shape[1::-1])
    low = np.clip(np.floor(corners.min(0) - 4), 0, limit - 2).astype(int)
    high = np.clip(np.ceil(corners.max(0) + 4), low + 2, limit).astype(int)
    window = image_rgb[low[1] : high[1], low[0] : high[0]]
    if step > 1.3:
        window = cv2.GaussianBlur(window, (0, 0), 0.45 * step)
    moved = np.array([[1, 0, -low[0]], [0, 1, -low[1]], [0, 0, 1]], np.float64) @ to_picture
    how = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    return np.asarray(cv2.warpPerspective(window, moved, size_px, flags=how, borderMode=cv2.BORDER_REPLICATE), np.uint8)


def _pixels_each(to_picture: FloatArray, size_px: tuple[int, int]) -> float:
    middle = np.array([[size_px[0] / 2, size_px[1] / 2], [size_px[0] / 2, size_px[1] / 2 + 1]])
    one, other = cv2.perspectiveTransform(middle[None], to_picture)[0]
    return float(np.hypot(*(other - one)))


def _ink(flat: RgbArray) -> NDArray[np.uint8]:
    """Where the flag is darker than its ground, in brightness or, as blue on orange is, in its strongest colour."""
    ink = np.zeros(flat.shape[:2], np.uint8)
    kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (31, 31))
    for shade in (cv2.cvtColor(flat, cv2.COLOR_RGB2GRAY), flat.max(2)):
        ground = cv2.GaussianBlur(cv2.morphologyEx(shade, cv2.MORPH_CLOSE, kernel), (0, 0), 5).astype(np.float32)
        # Pale ink counts: half way from the ground to the darkest, but no more than four fifths of the ground.
        level = np.minimum(_INK_RATIO * ground, (ground + np.percentile(shade, 3)) / 2)
        ink |= (shade < level).astype(np.uint8)
    return ink


def _pieces(ink: NDArray[np.uint8]) -> tuple[list[FloatArray], list[FloatArray]]:
    """Boxes (left, top, width, height) of the pieces of ink that may be the digits of one number, and of all others.

    Begun at the tall piece nearest the middle, and grown by pieces of its size beside it; what hangs on the flag's edge
    is mostly the shadow or the hose behind it.
    """
    high, wide = ink.shape
    _, _, stats, _ = cv2.connectedComponentsWithStats(ink, connectivity=8)
    digits, others = [], []
    for x, y, w, h, area in stats[1:].tolist():
        box = np.array([x, y, w, h], np.float64)
        at_edge = x == 0 or y == 0 or x + w == wide or y + h == high
        if _LEAST_INK * high <= max(w, h) <= _MOST_INK * high and area >= 0.1 * w * h and not at_edge:
            digits.append(box)
        elif area > 12:
            others.append(box)
    middle = np.array([wide, high]) / 2
    digits.sort(key=lambda box: float(np.hypot(*(box[:2] + box[2:] / 2 - middle))))
    kept, left = digits[:1], digits[1:]
    # Twice, because the piece that joins two others may come after them.
    for _ in range(2):
        for box in list(left):
            if any(_same_line(box, other) for other in kept):
                kept.append(box)
                left = [other for other in left if other is not box]
    return kept, left + others


def _same_line(one: FloatArray, other: FloatArray) -> bool:
    """Whether two boxes are of one size and side by side."""
    long, short = sorted((float(one[2:].max()), float(other[2:].max())), reverse=True)
    gap, overlap = _gaps(one, other)
    return long < 1.7 * short and gap < 0.8 * short and overlap < -0.4 * short


def _beside(number: FloatArray, other: FloatArray, count: int) -> bool:
    """Whether a piece of ink stands so near the number that it may belong to it."""
    digit = max(float(number[2:].min()), float(number[2:].max()) / count)
    gap, overlap = _gaps(number, other)
    return gap < 0.5 * digit and overlap < -0.2 * digit and float(other[2:].max()) > 0.25 * digit


def _gaps(one: FloatArray, other: FloatArray) -> tuple[float, float]:
    """How far two boxes lie apart along the two axes, the wider gap first; negative where they overlap."""
    apart = np.abs(one[:2] + one[2:] / 2 - other[:2] - other[2:] / 2) - (one[2:] + other[2:]) / 2
    return float(apart.max()), float(apart.min())
