"""The dense network of points as a way to describe pictures, run by OpenCV on one core; not in the package yet.

`register_points("points", "points.onnx")` makes it known to `detect_features(gray, method="points")`, so that the
project's own verification and carrying can be measured with it.
"""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.match.arrays import Float32Array, GrayImage, unit_rows
from asfound.core.match.method import Keypoints, MatchMethod, find_methods

CELL, DIVISOR, WIDTH = 4, 32, 64
BOX, DARK = 31, 4.0 / 255
"""As in points_net.py."""
LONGEST_PX, MOST = 1024, 4096
LEAST_SCORE, APART_PX, EDGE_PX = 0.005, 2, 4
"""What counts as a point; chosen by hand, not measured."""
DIAMETER_PX = 12.0
"""Diameter said of a point whose growth is nought; only ratios of diameters mean anything."""
ZERO, STEPS, MOST_BYTE = 128, 240.0, 255


def prepare(gray: GrayImage) -> Float32Array:
    """As the network takes it, (1, 2, h, w): light evened as a whole, and by places; sides padded to a multiple."""
    high, wide = gray.shape
    padded = cv2.copyMakeBorder(gray, 0, -high % DIVISOR, 0, -wide % DIVISOR, cv2.BORDER_REPLICATE)
    level = padded.astype(np.float32) / MOST_BYTE
    count = _box_sum(np.ones_like(level))
    local = _box_sum(level) / count
    spread = np.sqrt(np.maximum(_box_sum(level * level) / count - local * local, 0))
    whole = (level - level.mean()) / (level.std(ddof=1) + DARK)
    return np.stack([whole, (level - local) / (spread + DARK)])[None].astype(np.float32)


def _box_sum(x: Float32Array) -> Float32Array:
    return np.asarray(cv2.boxFilter(x, -1, (BOX, BOX), normalize=False, borderType=cv2.BORDER_CONSTANT))


def detect_points(gray: GrayImage, net: cv2.dnn.Net) -> Keypoints:
    """The surest points of a reduced picture."""
    high, wide = gray.shape
    net.setInput(prepare(gray))
    described, logits, extra = (out[0] for out in net.forward(["described", "points", "extra"]))
    trust = cv2.resize(1 / (1 + np.exp(-extra[0])), None, fx=CELL, fy=CELL, interpolation=cv2.INTER_LINEAR)
    score = (score_map(logits) * trust)[:high, :wide]
    x, y = peaks(score)
    points = finer(score, x, y)
    frame = sample(extra[1:], points)
    vectors = unit_rows(sample(described, points))
    return Keypoints(
        points,
        (DIAMETER_PX * np.exp(frame[:, 2])).astype(np.float32),
        (np.degrees(np.arctan2(frame[:, 1], frame[:, 0])) % 360).astype(np.float32),
        np.clip(np.rint(vectors * STEPS) + ZERO, 0, MOST_BYTE).astype(np.uint8),
    )


def score_map(logits: Float32Array) -> Float32Array:
    """Logits (17, h, w) of squares of pixels to how surely each pixel is a point, (4 h, 4 w)."""
    shares = np.exp(logits - logits.max(axis=0))
    shares = shares[:-1] / shares.sum(axis=0)
    _, high, wide = shares.shape
    by_place = shares.reshape(CELL, CELL, high, wide).transpose(2, 0, 3, 1)
    return np.ascontiguousarray(by_place.reshape(high * CELL, wide * CELL))


def peaks(score: Float32Array) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """x and y of the greatest scores of their surroundings, surest first, ties by place."""
    greatest = cv2.dilate(score, np.ones((2 * APART_PX + 1,) * 2, np.uint8))
    found = (score == greatest) & (score > LEAST_SCORE)
    inner = np.zeros_like(found)
    inner[EDGE_PX:-EDGE_PX, EDGE_PX:-EDGE_PX] = True
    y, x = np.nonzero(found & inner)
    order = np.lexsort((x, y, -score[y, x]))[:MOST]
    return x[order], y[order]


def finer(score: Float32Array, x: NDArray[np.int64], y: NDArray[np.int64]) -> Float32Array:
    """Centre of mass of the scores within two pixels, (n, 2)."""
    steps = range(-APART_PX, APART_PX + 1)
    weights = np.stack([score[y + j, x + i] for j in steps for i in steps], axis=1)
    moves = np.array([(i, j) for j in steps for i in steps], np.float32)
    away = weights @ moves / np.maximum(weights.sum(axis=1, keepdims=True), 1e-9)
    return (np.column_stack([x, y]) + away).astype(np.float32)


def sample(maps: Float32Array, points: Float32Array) -> Float32Array:
    """Maps (c, h, w) of squares at pixels (n, 2), linearly: (n, c)."""
    count, high, wide = maps.shape
    at = np.clip((points + 0.5) / CELL - 0.5, 0, [wide - 1.001, high - 1.001])
    whole = at.astype(np.int64)
    fx, fy = np.split((at - whole).astype(np.float32), 2, axis=1)
    flat = np.ascontiguousarray(maps.reshape(count, -1).T)
    i = whole[:, 1] * wide + whole[:, 0]
    upper, lower = (flat[k] * (1 - fx) + flat[k + 1] * fx for k in (i, i + wide))
    return np.asarray(upper * (1 - fy) + lower * fy)


def as_unit(descriptors: NDArray[np.uint8]) -> Float32Array:
    """Descriptors (n, 64) as unit vectors."""
    return unit_rows(descriptors.astype(np.float32) - ZERO)


def register_points(name: str, path: Path) -> None:
    """Make the network of a file known as a way to describe pictures."""
    net = cv2.dnn.readNetFromONNX(str(path))
    find_methods()[name] = MatchMethod(
        name, f"{name} of {path.name}", LONGEST_PX, WIDTH, lambda gray: detect_points(gray, net), as_unit
    )
