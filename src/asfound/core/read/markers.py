"""Printed square markers: AprilTag family 36h11, two ids for each tag number, one for each end.

The numbers beside a marker are the truth; the marker is a help. A marker bent round a hose is not read.

References
----------
Olson, AprilTag: A robust and flexible visual fiducial system, ICRA 2011; Wang and Olson, AprilTag 2, IROS 2016. The
family has 587 codes, least Hamming distance 11 between any two in any turn, so at most 5 wrong bits can be mended; its
authors advise against correcting more than 2, which is the rule here.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.read.reading import Reading
from asfound.errors import Misused
from asfound.model.tags import EndLetter

FloatArray = NDArray[np.float64]
GrayArray = NDArray[np.uint8]

MARKER_COUNT = 587
"""Codes in 36h11: ids 0 to 586."""

LARGEST_NUMBER = MARKER_COUNT // 2
"""Two ids a tag: 293 tags, ids 0 to 585; id 586 would be end A of a tag whose end B has none."""

SMALLEST_SIDE_PX = 12.0
"""Sides below this are not looked for. Measured: all read from 28 px head-on, 40 px at 45 degrees, 64 px with blur."""

_MENDED_BITS = 2
_FAMILY_MENDED_BITS = 5
_BITS_A_SIDE = 6
_SURE_SIDE_PX = 28.0


@dataclass(frozen=True, slots=True)
class Marker:
    """One marker in a picture.

    Attributes
    ----------
    marker_id : int
        0 to 586.
    corners_px : ndarray of shape (4, 2), float64
        Outer corners of the black border, clockwise from the marker's own top left; (0, 0) is a pixel's centre.
    side_px : float
        Mean length of the four sides.
    wrong_bits : int
        Bits of the code that had to be corrected, 0 to 2.
    """

    marker_id: int
    corners_px: FloatArray
    side_px: float
    wrong_bits: int

    @property
    def number(self) -> str | None:
        """The tag's number; None for the last id, which no tag has."""
        words = tag_of_marker(self.marker_id)
        return None if words is None else words[0]

    @property
    def end(self) -> EndLetter | None:
        """The tag's end; None for the last id."""
        words = tag_of_marker(self.marker_id)
        return None if words is None else words[1]

    @property
    def confidence(self) -> float:
        """0 to 1, lower for small markers and for corrected bits."""
        small = min(1.0, self.side_px / _SURE_SIDE_PX)
        return round(float((0.75 + 0.24 * small) * 0.92**self.wrong_bits), 3)


def marker_of_tag(number: int, end: EndLetter) -> int:
    """Id of the marker for one end of a tag: `2 * (number - 1)`, and one more for end B.

    Raises
    ------
    Misused
        If the family holds no marker for the number.

    Examples
    --------
    >>> marker_of_tag(1, "A"), marker_of_tag(147, "B")
    (0, 293)
    """
    if not 1 <= number <= LARGEST_NUMBER:
        raise Misused(f"Tag {number} can have no printed marker: there are markers for 1 to {LARGEST_NUMBER}.")
    return 2 * (number - 1) + (end == "B")


def tag_of_marker(marker_id: int) -> tuple[str, EndLetter] | None:
    """Number and end that a marker stands for; None for id 586, which no tag has.

    Raises
    ------
    Misused
        If the family has no such id.

    Examples
    --------
    >>> tag_of_marker(293), tag_of_marker(586)
    (('147', 'B'), None)
    """
    if not 0 <= marker_id < MARKER_COUNT:
        raise Misused(f"There is no marker {marker_id}: the ids are 0 to {MARKER_COUNT - 1}.")
    number, second = divmod(marker_id, 2)
    if number >= LARGEST_NUMBER:
        return None
    return str(number + 1), "B" if second else "A"


def draw_marker(marker_id: int, cell_px: int = 8) -> GrayArray:
    """The marker with its white edge, 10 x 10 cells, black on white, for sheets and for tests.

    Raises
    ------
    Misused
        If the family has no such id.
    """
    tag_of_marker(marker_id)
    black = cv2.aruco.generateImageMarker(_family(), marker_id, (_BITS_A_SIDE + 2) * cell_px)
    edged = cv2.copyMakeBorder(black, cell_px, cell_px, cell_px, cell_px, cv2.BORDER_CONSTANT, value=255)
    return np.asarray(edged, np.uint8)


def detect_markers(image_gray: GrayArray) -> list[Marker]:
    """Find the printed markers of a picture at its full size, ordered by id, then top to bottom.

    Parameters
    ----------
    image_gray : ndarray of shape (h, w), uint8
        Never reduced before: the markers are small.

    Returns
    -------
    list of Marker
        Empty when there is none. The same id twice is two markers: a label printed twice, or seen in chrome.
    """
    found = _detect(image_gray)
    half = cv2.resize(image_gray, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    for marker_id, corners_px in _detect(half):
        # The middle of a pixel of the half is the corner between four pixels of the whole.
        whole = corners_px * 2 + 0.5
        if not any(marker_id == other and _is_one(whole, corners) for other, corners in found):
            found.append((marker_id, whole))
    markers = [_marker(image_gray, marker_id, corners_px) for marker_id, corners_px in found]
    return sorted(
        (marker for marker in markers if marker.wrong_bits <= _MENDED_BITS),
        key=lambda marker: (marker.marker_id, float(marker.corners_px[:, 1].mean()), float(marker.corners_px[0, 0])),
    )


def _detect(image_gray: GrayArray) -> list[tuple[int, FloatArray]]:
    """Ids and corners at one size. A large, sharp marker is now and then lost at one size and found at the other."""
    if min(image_gray.shape[:2]) < 2 * SMALLEST_SIDE_PX:
        return []
    corners, ids, _ = _detector(max(image_gray.shape[:2])).detectMarkers(np.ascontiguousarray(image_gray))
    if ids is None:
        return []
    return [
        (int(marker_id), np.asarray(found, np.float64).reshape(4, 2))
        for marker_id, found in zip(np.ravel(ids), corners, strict=True)
    ]


def _is_one(corners_px: FloatArray, others_px: FloatArray) -> bool:
    """Whether two outlines of one id are the same marker, found twice."""
    apart = np.linalg.norm(corners_px.mean(0) - others_px.mean(0))
    return bool(apart < 0.5 * np.linalg.norm(corners_px[0] - corners_px[1]))


def read_markers(image_gray: GrayArray) -> list[Reading]:
    """The tag numbers and ends of the markers of a picture, best first."""
    height, width = image_gray.shape[:2]
    readings = [_reading(marker, width, height) for marker in detect_markers(image_gray) if marker.number]
    return sorted(readings, key=lambda reading: -reading.confidence)


def _reading(marker: Marker, width: int, height: int) -> Reading:
    low, high = marker.corners_px.min(0), marker.corners_px.max(0)
    x, y = ((low + high + 1) / 2).tolist()
    w, h = (high - low + 1).tolist()
    number = marker.number or ""
    return Reading(number, marker.end, "marker", x / width, y / height, w / width, h / height, marker.confidence)


def _marker(image_gray: GrayArray, marker_id: int, corners_px: FloatArray) -> Marker:
    sides = np.linalg.norm(corners_px - np.roll(corners_px, -1, axis=0), axis=1)
    return Marker(marker_id, corners_px, float(sides.mean()), _wrong_bits(image_gray, marker_id, corners_px))


def _wrong_bits(image_gray: GrayArray, marker_id: int, corners_px: FloatArray) -> int:
    """Bits that differ from the code, read from the middle of each cell of the marker seen square on."""
    cell = 8
    size = (_BITS_A_SIDE + 2) * cell
    square = np.array([[0, 0], [size, 0], [size, size], [0, size]], np.float32) - 0.5
    warp = cv2.getPerspectiveTransform(corners_px.astype(np.float32), square)
    flat = cv2.warpPerspective(image_gray, warp, (size, size), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    middles = flat.reshape(_BITS_A_SIDE + 2, cell, _BITS_A_SIDE + 2, cell)[:, 2:6, :, 2:6].mean((1, 3))
    level, _ = cv2.threshold(flat, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    seen = middles[1:-1, 1:-1] > level
    code = cv2.aruco.generateImageMarker(_family(), marker_id, _BITS_A_SIDE + 2)[1:-1, 1:-1] > 127
    return int(np.count_nonzero(seen != code))


@functools.cache
def _family() -> cv2.aruco.Dictionary:
    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)


@functools.lru_cache(maxsize=8)
def _detector(longest_px: int) -> cv2.aruco.ArucoDetector:
    """Tuned on rendered markers: in 12 megapixels it found 24 of 24 where the defaults found 12, six times faster."""
    settings = cv2.aruco.DetectorParameters()
    settings.minMarkerPerimeterRate = 4 * SMALLEST_SIDE_PX / longest_px
    settings.adaptiveThreshWinSizeMin = 5
    settings.adaptiveThreshWinSizeMax = 45
    settings.adaptiveThreshWinSizeStep = 8
    settings.polygonalApproxAccuracyRate = 0.05
    settings.minCornerDistanceRate = 0.03
    settings.minDistanceToBorder = 1
    settings.perspectiveRemovePixelPerCell = 8
    settings.minOtsuStdDev = 3
    settings.errorCorrectionRate = math.ceil(100 * _MENDED_BITS / _FAMILY_MENDED_BITS) / 100
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE
    return cv2.aruco.ArucoDetector(_family(), settings)
