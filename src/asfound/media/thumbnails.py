"""What is made of every picture: the preview that screens and matching use, a thumbnail, a fingerprint, a sharpness.

One reduced decode feeds all of it; decoding again for each would triple the cost.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from asfound.core.capture.fingerprint import compute_fingerprint
from asfound.core.capture.sharpness import measure_sharpness
from asfound.errors import NotMedia
from asfound.media.format import PREFIX_BYTES, ImageFormat, RGBImage
from asfound.media.formats import jpeg
from asfound.media.limits import DEFAULT_LIMITS, Limits
from asfound.media.opening import decode_upright, identify_prefix, reduce_to

__all__ = [
    "Derived",
    "decode_jpeg",
    "derive",
    "derive_from_image",
    "derive_photo",
    "encode_jpeg",
    "reduce_to",
    "to_gray",
]

PREVIEW_LEAST_PX, PREVIEW_MOST_PX = 1000, 1280
"""Longest side of a preview. A quarter of a 12-megapixel photo is 1008 px: asking for more would double the work."""
PREVIEW_QUALITY = 85
THUMBNAIL_PX, THUMBNAIL_QUALITY = 256, 80


@dataclass(frozen=True, slots=True)
class Derived:
    """What can be computed again from an original at any time.

    Attributes
    ----------
    preview_jpeg : bytes
        Upright, longest side `PREVIEW_LEAST_PX` to `PREVIEW_MOST_PX` where the picture has it.
    thumbnail_jpeg : bytes
        Upright, longest side at most `THUMBNAIL_PX`.
    phash : int
        Signed 64-bit fingerprint.
    sharpness : float
        Variance of the Laplacian of the preview.
    width_px, height_px : int
        Of the preview.
    """

    preview_jpeg: bytes
    thumbnail_jpeg: bytes
    phash: int
    sharpness: float
    width_px: int
    height_px: int


def derive(data: bytes, *, limits: Limits = DEFAULT_LIMITS, name: str = "") -> Derived:
    """Derive from the bytes of a photo.

    Raises
    ------
    NotMedia, TooLarge, Unreadable
    """
    limits.check_bytes(len(data))
    chosen = identify_prefix(data[:PREFIX_BYTES], name)
    if not isinstance(chosen, ImageFormat):
        raise NotMedia("it is a clip, not a picture")
    return derive_photo(data, chosen, limits)


def derive_photo(data: bytes, chosen: ImageFormat, limits: Limits, orientation: int | None = None) -> Derived:
    """`derive` when the format is known, and perhaps the orientation."""
    image = decode_upright(
        data, chosen, limits, at_least=PREVIEW_LEAST_PX, at_most=PREVIEW_MOST_PX, orientation=orientation
    )
    return derive_from_image(image)


def derive_from_image(image: RGBImage) -> Derived:
    """Derive from an upright picture, shape (h, w, 3), of any size."""
    image = reduce_to(image, PREVIEW_MOST_PX)
    # Four times as fast as `to_gray`, and the same but for the odd rounding.
    gray = np.asarray(cv2.cvtColor(image, cv2.COLOR_RGB2GRAY), dtype=np.uint8)
    height, width = image.shape[:2]
    return Derived(
        preview_jpeg=encode_jpeg(image, PREVIEW_QUALITY),
        thumbnail_jpeg=encode_jpeg(_thumbnail(image), THUMBNAIL_QUALITY),
        phash=compute_fingerprint(gray),
        sharpness=measure_sharpness(gray),
        width_px=width,
        height_px=height,
    )


def _thumbnail(image: RGBImage) -> RGBImage:
    """At most `THUMBNAIL_PX`. Whole factors average three times as fast as others, and twice 2 as fast again as 4."""
    longest = max(image.shape[:2])
    factor = -(-longest // THUMBNAIL_PX)
    if factor == 4:
        image = reduce_to(image, longest // 2)
    return reduce_to(image, max(1, longest // factor))


def encode_jpeg(image: RGBImage, quality: int = PREVIEW_QUALITY) -> bytes:
    """A picture, shape (h, w, 3), as JPEG, without any details of its making."""
    file = io.BytesIO()
    Image.fromarray(image).save(file, "JPEG", quality=quality)
    return file.getvalue()


def decode_jpeg(data: bytes, longest_px: int | None = None) -> RGBImage:
    """A JPEG of our own, shape (h, w, 3), longest side at most `longest_px`; its orientation is always upright."""
    image = jpeg.decode(data, DEFAULT_LIMITS, longest_px)
    return image if longest_px is None else reduce_to(image, longest_px)


def to_gray(image: RGBImage) -> NDArray[np.uint8]:
    """Brightness, shape (h, w), of an RGB picture, shape (h, w, 3), as fingerprints want it (ITU-R BT.601)."""
    return np.asarray(Image.fromarray(image).convert("L"))
