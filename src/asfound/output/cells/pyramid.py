"""A picture at halving sizes, so that any part of it can be sampled at any scale in about the same time."""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

RGBImage = NDArray[np.uint8]

BESIDE = (22, 22, 22)
"""Colour of what lies beside the picture."""

SMALLEST_SIDE_PX = 64


@dataclass(frozen=True, eq=False)
class Pyramid:
    """A picture and its halvings.

    Attributes
    ----------
    levels : tuple of ndarray
        RGB, each half the size of the one before, averaged over areas.
    source_w, source_h : float
        Size of the full picture in pixels, which `sample` counts in; the first level may be a smaller preview of it.
    """

    levels: tuple[RGBImage, ...]
    source_w: float
    source_h: float

    @classmethod
    def build(cls, image_rgb: RGBImage, source_size: tuple[float, float] | None = None) -> Pyramid:
        """Halve a picture until its shorter side is near 64 pixels.

        Parameters
        ----------
        image_rgb : ndarray of shape (height, width, 3), uint8
        source_size : (float, float), optional
            Width and height of the full picture when `image_rgb` is a preview of it.
        """
        levels = [np.ascontiguousarray(image_rgb)]
        while min(levels[-1].shape[:2]) >= 2 * SMALLEST_SIDE_PX:
            height, width = levels[-1].shape[:2]
            size = (width + 1) // 2, (height + 1) // 2
            levels.append(np.asarray(cv2.resize(levels[-1], size, interpolation=cv2.INTER_AREA), dtype=np.uint8))
        height, width = image_rgb.shape[:2]
        source_w, source_h = source_size or (float(width), float(height))
        return cls(tuple(levels), source_w, source_h)

    def sample(self, left: float, top: float, step_x: float, step_y: float, out_w: int, out_h: int) -> RGBImage:
        """Average the picture over a grid of areas.

        Parameters
        ----------
        left, top : float
            Corner of the grid, in source pixels.
        step_x, step_y : float
            Size of one area, in source pixels.
        out_w, out_h : int
            Number of areas.

        Returns
        -------
        ndarray of shape (out_h, out_w, 3), uint8
            `BESIDE` where the grid leaves the picture.
        """
        level = self._level_for(min(step_x, step_y))
        height, width = level.shape[:2]
        scale_x, scale_y = width / self.source_w, height / self.source_h
        finer_x = max(1, math.ceil(step_x * scale_x - 1e-6))
        finer_y = max(1, math.ceil(step_y * scale_y - 1e-6))
        across, down = step_x * scale_x / finer_x, step_y * scale_y / finer_y
        to_level = np.array(
            [[across, 0, left * scale_x + across / 2 - 0.5], [0, down, top * scale_y + down / 2 - 0.5]],
            dtype=np.float64,
        )
        fine = cv2.warpAffine(
            level,
            to_level,
            (out_w * finer_x, out_h * finer_y),
            flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_CONSTANT,
            borderValue=BESIDE,
        )
        if finer_x == finer_y == 1:
            return np.asarray(fine, dtype=np.uint8)
        return np.asarray(cv2.resize(fine, (out_w, out_h), interpolation=cv2.INTER_AREA), dtype=np.uint8)

    def _level_for(self, step: float) -> RGBImage:
        """The smallest level that still has one pixel or more for each area."""
        in_first = step * self.levels[0].shape[1] / self.source_w
        halvings = int(math.log2(in_first)) if in_first >= 2 else 0
        return self.levels[min(halvings, len(self.levels) - 1)]


def sharpen(image_rgb: RGBImage, amount: float = 0.6, sigma: float = 0.8) -> RGBImage:
    """Unsharp mask: a picture reduced to cells always gains from a little of it."""
    soft = cv2.GaussianBlur(image_rgb, (0, 0), sigma)
    return np.asarray(cv2.addWeighted(image_rgb, 1 + amount, soft, -amount, 0), dtype=np.uint8)


def lift_shadows(image_rgb: RGBImage) -> RGBImage:
    """Brighten dark corners: adaptive equalization of lightness, gently limited."""
    lab = cv2.cvtColor(image_rgb, cv2.COLOR_RGB2LAB)
    lightness = np.ascontiguousarray(lab[:, :, 0])
    raised = cv2.LUT(lightness, _lift_curve())
    lab[:, :, 0] = cv2.createCLAHE(clipLimit=1.2, tileGridSize=(2, 2)).apply(raised)
    return np.asarray(cv2.cvtColor(lab, cv2.COLOR_LAB2RGB), dtype=np.uint8)


def _lift_curve() -> NDArray[np.uint8]:
    return np.asarray(np.round(255 * (np.arange(256) / 255) ** 0.75), dtype=np.uint8)
