"""Copies of pictures for outside: upright, with the pins drawn on if wanted, and nothing told of place or camera."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray
from PIL import ExifTags, Image, ImageDraw, ImageFont

RgbImage = NDArray[np.uint8]

QUALITY = 92
"""JPEG quality of copies: they are looked at closely."""

RING_SHARE = 0.022
"""Radius of a ring, as a share of the picture's longer side."""

_HALO_SHARE = 0.3
_BLACK, _WHITE = (0, 0, 0), (255, 255, 255)


@dataclass(frozen=True, slots=True)
class LabelledRing:
    """A ring round a point, in fractions of the picture as displayed, with a label beside it; broken for a guess."""

    label: str
    x_frac: float
    y_frac: float
    is_guess: bool = False


def draw_pins(image_rgb: RgbImage, pins: Sequence[LabelledRing]) -> RgbImage:
    """The picture with its pins: rings that leave what they mean uncovered, white with a black edge.

    Parameters
    ----------
    image_rgb : ndarray of shape (h, w, 3), uint8
        Left as it is.
    """
    image = Image.fromarray(image_rgb)
    draw = ImageDraw.Draw(image)
    radius = max(8.0, RING_SHARE * max(image.size))
    width = max(2, round(radius / 7))
    for pin in pins:
        x, y = pin.x_frac * image.width, pin.y_frac * image.height
        for by, ink, thick in ((width, _BLACK, 3 * width), (0, _WHITE, width)):
            _ring(draw, x, y, radius + by, ink, thick, is_broken=pin.is_guess)
        _label(draw, pin.label + (" ?" if pin.is_guess else ""), x, y, radius, image.size)
    return np.asarray(image, np.uint8)


def encode_copy(image_rgb: RgbImage, taken_at: datetime | None, xmp: bytes = b"") -> bytes:
    """A JPEG of an upright picture with the time it was taken, and an XMP packet if there is one; no other details."""
    image = Image.fromarray(image_rgb)
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 1
    if taken_at is not None:
        inner = exif.get_ifd(ExifTags.IFD.Exif)
        inner[ExifTags.Base.DateTimeOriginal] = f"{taken_at:%Y:%m:%d %H:%M:%S}"
        if offset := f"{taken_at:%z}":
            inner[ExifTags.Base.OffsetTimeOriginal] = f"{offset[:3]}:{offset[3:5]}"
    file = io.BytesIO()
    image.save(file, "JPEG", quality=QUALITY, subsampling=0, exif=exif, **({"xmp": xmp} if xmp else {}))
    return file.getvalue()


def _ring(
    draw: ImageDraw.ImageDraw, x: float, y: float, radius: float, ink: tuple[int, int, int], width: int, *,
    is_broken: bool,
) -> None:  # fmt: skip
    box = (x - radius, y - radius, x + radius, y + radius)
    if not is_broken:
        draw.ellipse(box, outline=ink, width=width)
        return
    for start in range(0, 360, 45):
        draw.arc(box, start, start + 27, fill=ink, width=width)


def _label(draw: ImageDraw.ImageDraw, words: str, x: float, y: float, radius: float, size: tuple[int, int]) -> None:
    """Beside the ring, on the side where there is room."""
    font = _font(max(14, round(radius * 1.5)))
    left, top, right, bottom = font.getbbox(words)
    wide, high = right - left, bottom - top
    at = x + radius * 1.6 if x + radius * 1.6 + wide < size[0] else x - radius * 1.6 - wide
    up = min(max(y - high / 2 - top, 0.0), size[1] - bottom)
    draw.text((max(at, 0.0), up), words, _WHITE, font, stroke_width=max(2, round(radius * _HALO_SHARE / 2)),
              stroke_fill=_BLACK)  # fmt: skip


@cache
def _font(size_px: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(str(files("fontpkg_fira_sans") / "files" / "FiraSans-Bold.ttf"), size_px)
