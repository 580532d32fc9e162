"""Keypoints and descriptors of one picture, and their compact stored form."""

from __future__ import annotations

import json
import struct
import zlib
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from asfound.core.match import IN_USE
from asfound.core.match.arrays import Float32Array, GrayImage, IntArray
from asfound.core.match.method import get_method
from asfound.core.match.pixels import Size, reduce_gray

MAGIC = b"AFF1"
# Positions are stored as sixteenths of a pixel: finer than any detector places a keypoint.
STEPS_PER_PX = 16
DIAMETER_STEPS_PER_PX = 64
ANGLE_STEPS = 65536
"""Diameters in sixty-fourths of a pixel, angles in 65,536ths of a turn: two bytes each."""
FARTHEST_PX, WIDEST_PX = 4095, 1023
"""The greatest position and diameter that two bytes hold in such steps; matching sizes stay far below."""
KEYPOINT_BYTES = 8
"""Of a stored keypoint without its descriptor: x, y, diameter and angle in two bytes each."""
WHOLE_TURN_DEG = 360.0


class StoredFeaturesError(ValueError):
    """The bytes are not features that this version can read; compute them again."""


@dataclass(frozen=True, eq=False)
class Features:
    """Keypoints of one picture as displayed (Orientation applied).

    Attributes
    ----------
    method : str
        Name of the matching method.
    size_px : (int, int)
        Width and height of the picture at matching size, in which the positions are given.
    points_px : ndarray of shape (n, 2), float32
        x, y; integer coordinates are pixel centres. Strongest first.
    scales, angles : ndarray of shape (n,), float32
        Diameter in pixels; degrees.
    descriptors : ndarray of shape (n, d), uint8
    """

    method: str
    size_px: Size
    points_px: Float32Array
    scales: Float32Array
    angles: Float32Array
    descriptors: NDArray[np.uint8]

    def __len__(self) -> int:
        return len(self.points_px)

    def strongest(self, most: int) -> Features:
        """Features of only the `most` strongest keypoints, whose indices stay."""
        if len(self) <= most:
            return self
        return self.chosen(slice(most))

    def rows(self, which: IntArray) -> Float32Array:
        """Some keypoints as x and y in pixels, diameter in pixels and angle in degrees, shape (k, 4), float32."""
        return np.column_stack([self.points_px[which], self.scales[which], self.angles[which]])

    def chosen(self, which: slice | IntArray) -> Features:
        """Features of only some of the keypoints."""
        return Features(
            self.method,
            self.size_px,
            self.points_px[which],
            self.scales[which],
            self.angles[which],
            self.descriptors[which],
        )


def detect_features(gray: GrayImage, *, method: str = IN_USE) -> Features:
    """Find and describe the keypoints of a picture.

    Parameters
    ----------
    gray : ndarray of shape (h, w), uint8
        The picture as displayed, any size; reduced to the method's own longest side, never enlarged.
    method : str
        Name of a module's `METHOD` in `methods/`.

    Returns
    -------
    Features
        Empty for a blank picture.

    Raises
    ------
    ValueError
        If no such method is there, or `gray` is not one 8-bit plane with at least one pixel.
    """
    if gray.ndim != 2 or gray.dtype != np.uint8 or gray.size == 0:
        raise ValueError(f"expected a gray 8-bit picture, got shape {gray.shape} and {gray.dtype}")
    way = get_method(method)
    reduced = reduce_gray(gray, way.longest_px)
    found = way.detect(reduced)
    size = (reduced.shape[1], reduced.shape[0])
    return Features(way.name, size, found.points_px, found.scales, found.angles, found.descriptors)


def normalised_descriptors(features: Features) -> Float32Array:
    """The descriptors as unit vectors, shape (n, d), float32, whose dot product is their likeness."""
    return get_method(features.method).normalise(features.descriptors)


def pack_features(features: Features) -> bytes:
    """Features as bytes: header in JSON, then the arrays, deflated. Positions are kept to 1/16 pixel."""
    head = {
        "method": features.method,
        "settings": get_method(features.method).settings,
        "size": list(features.size_px),
        "count": len(features),
        "width": int(features.descriptors.shape[1]),
    }
    text = json.dumps(head, sort_keys=True).encode()
    turns = np.mod(features.angles, WHOLE_TURN_DEG) / WHOLE_TURN_DEG
    points = np.rint(np.clip(features.points_px, 0, FARTHEST_PX) * STEPS_PER_PX).astype("<u2")
    scales = np.rint(np.clip(features.scales, 0, WIDEST_PX) * DIAMETER_STEPS_PER_PX).astype("<u2")
    angles = np.rint(turns * ANGLE_STEPS).astype(np.int64).astype("<u2")
    body = points.tobytes() + scales.tobytes() + angles.tobytes() + features.descriptors.tobytes()
    return MAGIC + struct.pack("<I", len(text)) + text + zlib.compress(body, 1)


def unpack_features(packed: bytes) -> Features:
    """The inverse of `pack_features`; StoredFeaturesError for other bytes or another version's settings."""
    try:
        if not packed.startswith(MAGIC):
            raise StoredFeaturesError("not stored features")
        start = len(MAGIC) + struct.calcsize("<I")
        (length,) = struct.unpack("<I", packed[len(MAGIC) : start])
        head = json.loads(packed[start : start + length])
        body = zlib.decompress(packed[start + length :])
        count, width = int(head["count"]), int(head["width"])
        if head["settings"] != get_method(head["method"]).settings or len(body) != count * (KEYPOINT_BYTES + width):
            raise StoredFeaturesError("features of another version")
    except (struct.error, zlib.error, KeyError, ValueError, UnicodeDecodeError) as error:
        raise StoredFeaturesError(f"features cannot be read: {error}") from error
    numbers = np.frombuffer(body, "<u2", count * KEYPOINT_BYTES // 2).astype(np.float32)
    xy, scales, angles = np.split(numbers, [2 * count, 3 * count])
    points = xy.reshape(count, 2) / np.float32(STEPS_PER_PX)
    scales, angles = scales / np.float32(DIAMETER_STEPS_PER_PX), angles * np.float32(WHOLE_TURN_DEG / ANGLE_STEPS)
    descriptors = np.frombuffer(body, np.uint8, count * width, count * KEYPOINT_BYTES).reshape(count, width)
    size = (int(head["size"][0]), int(head["size"][1]))
    return Features(head["method"], size, points, scales, angles, descriptors)
