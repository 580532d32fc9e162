"""Pictures with tape flags drawn by Pillow, seen from an angle, on ground that is no flag."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

RgbArray = NDArray[np.uint8]


def draw_flag(number: str, *, high_px: int = 90, tape: tuple[int, int, int] = (232, 214, 120)) -> RgbArray:
    """One piece of tape, seen square on, with dark digits in the face that Pillow brings along."""
    font = ImageFont.load_default(high_px * 0.6)
    flag = Image.new("RGB", (round(high_px * 1.7), high_px), tape)
    ImageDraw.Draw(flag).text((flag.width / 2, flag.height / 2), number, (25, 28, 40), font, anchor="mm")
    return np.asarray(flag, np.uint8)


def rusty_ground(width_px: int, height_px: int, seed: int = 3) -> RgbArray:
    """Painted metal with patches of rust: plain in no place, and without anything to read."""
    rng = np.random.default_rng(seed)
    coarse = rng.uniform(60, 130, (height_px // 12, width_px // 12, 1)) + rng.uniform(-25, 25, 3)
    ground = cv2.resize(coarse, (width_px, height_px), interpolation=cv2.INTER_CUBIC)
    return np.asarray((ground + rng.normal(0, 6, ground.shape)).clip(0, 255), np.uint8)


def hang(
    picture: RgbArray, piece: RgbArray, centre_px: tuple[float, float], *, turn_deg: float = 0, away: float = 0
) -> NDArray[np.float64]:
    """Hang a piece in a picture, turned in its plane, its right side `away` (0 to 0.5) from the camera.

    Returns the corners where it hangs, in pixels, from its own top left clockwise.
    """
    high, wide = piece.shape[:2]
    square = np.array([[0, 0], [wide, 0], [wide, high], [0, high]], np.float64)
    seen = (square - (wide / 2, high / 2)) * (1 - away / 2, 1)
    seen[[1, 2], 1] *= 1 - away
    angle = np.radians(turn_deg)
    turned = seen @ np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]]) + centre_px
    warp = cv2.getPerspectiveTransform(square.astype(np.float32), turned.astype(np.float32))
    size = (picture.shape[1], picture.shape[0])
    hung = cv2.warpPerspective(piece, warp, size, flags=cv2.INTER_AREA)
    there = cv2.warpPerspective(np.full((high, wide), 255, np.uint8), warp, size) > 127
    picture[there] = hung[there]
    return turned
