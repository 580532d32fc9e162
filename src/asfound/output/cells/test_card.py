"""A drawing in which missing or wrong characters show at once: a ring, two thin wires, a fan of lines."""

from __future__ import annotations

import cv2
import numpy as np

from asfound.output.cells.pyramid import RGBImage


def draw_test_card(height_px: int) -> RGBImage:
    """The card, twice as wide as high, shape (height_px, 2 * height_px, 3), uint8, RGB."""
    width = 2 * height_px
    card = np.empty((height_px, width, 3), np.uint8)
    card[:] = np.linspace(40, 90, width)[None, :, None]
    thick = max(2, height_px // 40)
    middle = (height_px // 2, height_px // 2)
    cv2.circle(card, middle, height_px * 2 // 5, (255, 214, 10), 2 * thick, cv2.LINE_AA)
    cv2.circle(card, middle, height_px // 6, (108, 178, 255), -1, cv2.LINE_AA)
    for index in range(7):
        turn = np.pi * (0.55 + 0.15 * index)
        end = width - height_px // 2 + int(np.cos(turn) * height_px * 0.45), int(height_px * 0.5 - np.sin(turn) * 200)
        cv2.line(card, (width - height_px // 2, height_px // 2), end, (230, 230, 230), thick, cv2.LINE_AA)
    for ink, bend in (((255, 110, 60), 0.16), ((240, 240, 240), -0.12)):
        across = np.linspace(height_px, width - height_px * 0.55, 60)
        down = height_px * (0.5 + bend + bend * np.sin(across / height_px * 6))
        cv2.polylines(card, [np.stack([across, down], axis=1).astype(np.int32)], False, ink, thick, cv2.LINE_AA)
    return card
