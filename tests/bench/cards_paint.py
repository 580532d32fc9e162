"""Draws what `cards.py` puts into a bay: flat cards and round hoses as a camera sees them, light, and the phone.

Metres; z grows into the bay and a camera looks along its own z, x right, y down. Integer pixels are pixel centres.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

import cv2
import numpy as np

SIZE = 1280, 960
FOCAL_35MM = 28
FOCAL_PX = FOCAL_35MM / 36 * SIZE[0]
CENTRE = (np.array(SIZE) - 1) / 2
NEAREST_M = 0.08
LIGHT, PHONE = 0.75, 0.55
"""How hard light and phone make it, 0 to 1."""


@dataclass(frozen=True, eq=False)
class Card:
    """A square card, `side` wide; `turn` (3, 3) takes its plane into the bay; texture (n, n, 3) BGR, mask (n, n)."""

    key: int
    middle: np.ndarray
    side: float
    turn: np.ndarray
    texture: np.ndarray
    mask: np.ndarray
    floor: bool = False


@dataclass(frozen=True, eq=False)
class Hose:
    """A hose along `points` (n, 3)."""

    key: int
    points: np.ndarray
    radius: float
    colour: np.ndarray


@dataclass(frozen=True, eq=False)
class Bay:
    """What lies in a bay."""

    cards: list[Card]
    hoses: list[Hose]


@dataclass(frozen=True, eq=False)
class Camera:
    """Maps X to `turn @ (X - place)`."""

    turn: np.ndarray
    place: np.ndarray

    def see(self, points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Points (n, 3) to pixels (n, 2) and depths (n,)."""
        local = (points - self.place) @ self.turn.T
        return FOCAL_PX * local[:, :2] / np.maximum(local[:, 2:], 1e-3) + CENTRE, local[:, 2]


@dataclass(eq=False)
class Canvas:
    """A picture being painted: BGR float32, key of what each pixel shows, and one over its depth."""

    picture: np.ndarray
    keys: np.ndarray
    nearness: np.ndarray


def paint(
    bay: Bay, camera: Camera, gone: Collection[int] = (), moved: Mapping[int, np.ndarray] | None = None
) -> tuple[np.ndarray, np.ndarray]:
    """The bay in even light, (h, w, 3) BGR float32, and the key of what each pixel shows; -1 for nothing."""
    shape = SIZE[1], SIZE[0]
    canvas = Canvas(np.full((*shape, 3), 18, np.float32), np.full(shape, -1, np.int32), np.zeros(shape, np.float32))
    # Depth is told pixel by pixel; the order serves soft edges and shadows, which want what is behind them first.
    things = [(camera.see(c.middle[None])[1][0] + 5 * c.floor, c) for c in bay.cards]
    things += [(camera.see(h.points.mean(axis=0)[None])[1][0], h) for h in bay.hoses]
    for _, thing in sorted(things, key=lambda t: -t[0]):
        if thing.key in gone:
            continue
        if isinstance(thing, Card):
            _paint_card(canvas, camera, thing, thing.middle + (moved or {}).get(thing.key, 0))
        else:
            _paint_hose(canvas, camera, thing)
    return canvas.picture, canvas.keys


def _paint_card(canvas: Canvas, camera: Camera, card: Card, middle: np.ndarray) -> None:
    half, n = card.side / 2, card.mask.shape[0]
    square = np.array([[-half, -half, 0], [half, -half, 0], [half, half, 0], [-half, half, 0]])
    at, depths = camera.see(square @ card.turn.T + middle)
    low, high = np.zeros(2, int), np.array(SIZE)
    if depths.min() >= NEAREST_M:
        low = np.maximum(np.floor(at.min(axis=0)), 0).astype(int)
        high = np.minimum(np.ceil(at.max(axis=0)) + 1, SIZE).astype(int)
    if (high - low).min() < 3 or (depths.min() < NEAREST_M and not card.floor):
        return
    turn, place = camera.turn @ card.turn, camera.turn @ (middle - camera.place)
    lens = np.array([[FOCAL_PX, 0, CENTRE[0] - low[0]], [0, FOCAL_PX, CENTRE[1] - low[1]], [0, 0, 1]])
    step = card.side / n
    matrix = lens @ np.c_[turn[:, :2], place] @ [[step, 0, step / 2 - half], [0, step, step / 2 - half], [0, 0, 1]]
    size = tuple(int(v) for v in high - low)
    texture = cv2.warpPerspective(card.texture, matrix, size, borderMode=cv2.BORDER_REPLICATE)
    mask = cv2.warpPerspective(card.mask, matrix, size)
    # One over the depth of a plane is linear in the pixels.
    slope = turn[:, 2] @ np.linalg.inv(lens) / (turn[:, 2] @ place)
    nearness = (slope[0] * np.arange(size[0]) + (slope[1] * np.arange(size[1]) + slope[2])[:, None]).astype(np.float32)
    part = np.s_[low[1] : high[1], low[0] : high[0]]
    front = nearness > canvas.nearness[part]
    below = canvas.picture[part]
    if not card.floor:
        shadow = cv2.GaussianBlur(np.roll(mask, (6, 6), (0, 1)), (0, 0), 6).astype(np.float32) / 255
        below *= 1 - 0.35 * (shadow * front)[..., None]
    cover = ((mask / np.float32(255)) * front)[..., None]
    shade = np.float32(0.45 + 0.55 * abs(turn[:, 2] @ place) / np.linalg.norm(place))
    below[:] = below * (1 - cover) + texture * shade * cover
    shown = front & (mask > 127)
    canvas.keys[part][shown] = card.key
    canvas.nearness[part][shown] = nearness[shown]


def _paint_hose(canvas: Canvas, camera: Camera, hose: Hose) -> None:
    steps = np.linspace(0, len(hose.points) - 1, 60)
    smooth = cv2.GaussianBlur(hose.points, (1, 3), 0.8)
    at, depths = camera.see(np.stack([np.interp(steps, np.arange(len(smooth)), c) for c in smooth.T], axis=1))
    if depths.min() < NEAREST_M or not ((at >= 0) & (at < SIZE)).all(axis=1).any():
        return
    width = max(2, int(2 * hose.radius * FOCAL_PX / depths.mean()))
    line = np.clip(at, -4000, 4000).astype(np.int32)
    nearness = np.zeros_like(canvas.nearness)
    for a, b, depth in zip(line[:-1], line[1:], (depths[:-1] + depths[1:]) / 2, strict=True):
        cv2.line(nearness, a.tolist(), b.tolist(), 1 / float(depth), width)
    shown = nearness > canvas.nearness
    layer = canvas.picture.copy()
    for light, share in ((0.45, 1.0), (1.0, 0.75), (1.7, 0.3)):
        cv2.polylines(layer, [line], False, (hose.colour * light).tolist(), max(1, int(width * share)), cv2.LINE_AA)
    canvas.picture[shown] = layer[shown]
    canvas.keys[shown] = hose.key
    canvas.nearness[shown] = nearness[shown]


def light_up(rng: np.random.Generator, even: np.ndarray, hard: float = LIGHT) -> np.ndarray:
    """A picture in a light of its own, uint8: tone, colour, a lamp at one side, soft and hard shadows, glints."""
    lit = np.clip(even / 255, 0, 1).astype(np.float32)
    height, width = lit.shape[:2]
    lit **= np.float32(np.exp(rng.uniform(-0.6, 0.6) * hard))
    lit *= np.exp(rng.uniform(-0.15, 0.15, 3) * hard).astype(np.float32)
    # Slow changes are drawn at a quarter of the size.
    h, w = height // 4, width // 4
    y, x = np.mgrid[0:h, 0:w].astype(np.float32)
    lean = rng.uniform(-1, 1, 2)
    slow = (((x / w - 0.5) * lean[0] + (y / h - 0.5) * lean[1]) * 1.2 * hard).astype(np.float32)
    for _ in range(rng.integers(1, 4)):
        patch = np.zeros((h, w), np.float32)
        corners = (rng.uniform(0, 1, (5, 2)) * [w, h]).astype(np.int32)
        cv2.fillConvexPoly(patch, cv2.convexHull(corners), 1)
        slow += cv2.GaussianBlur(patch, (0, 0), rng.uniform(0.6, 0.03 * w)) * np.float32(rng.uniform(-1.2, 0.6) * hard)
    lit *= cv2.resize(np.exp(slow), (width, height))[..., None]
    glints = np.zeros((height, width), np.float32)
    for _ in range(rng.integers(0, 12)):
        at = [int(v) for v in rng.uniform(0, 1, 2) * [width, height]]
        axes = int(rng.uniform(2, 0.03 * width)), int(rng.uniform(1, 0.01 * width)) + 1
        cv2.ellipse(glints, at, axes, rng.uniform(0, 180), 0, 360, 1, -1)
    lit += cv2.GaussianBlur(glints, (0, 0), 2)[..., None] * np.float32(hard)
    return np.clip(lit * 255, 0, 255).astype(np.uint8)


def take(rng: np.random.Generator, picture: np.ndarray, hard: float = PHONE) -> np.ndarray:
    """A picture as a phone takes it: a little out of focus, now and then shaken, noisy."""
    blur = rng.uniform(0, 1.6) * hard
    if blur > 0.3:
        picture = cv2.GaussianBlur(picture, (0, 0), blur)
    if rng.random() < 0.4 * hard:
        length = int(rng.integers(3, 8))
        kernel = np.zeros((length, length), np.float32)
        cv2.line(kernel, (0, int(rng.integers(length))), (length - 1, int(rng.integers(length))), 1)
        picture = cv2.filter2D(picture, -1, kernel / kernel.sum())
    noise = rng.standard_normal(picture.shape, np.float32) * np.float32(6 * hard)
    return np.clip(picture + noise, 0, 255).astype(np.uint8)
