"""Pillow under our own rules: no guessing of formats, no warnings, and one kind of error.

Plugins are used directly instead of through `Image.open`: content has already chosen the format, and the limits here
replace Pillow's global one.
"""

from __future__ import annotations

import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np
from PIL import Image

from asfound.core.capture.exif import GPS, GPS_DATE, GPS_TIME
from asfound.errors import Refused, TooLarge, Unreadable
from asfound.media.format import RGBImage
from asfound.media.limits import Limits

EXIF_IFD = 0x8769
FULL_SCALE_16 = 257

DECODER_ERRORS = (
    OSError,
    SyntaxError,
    ValueError,
    TypeError,
    LookupError,
    ArithmeticError,
    AttributeError,
    AssertionError,
    EOFError,
    RuntimeError,
    struct.error,
    zlib.error,
)
"""What decoders written in Python raise on damaged files (collected from broken files; it only grows)."""


@contextmanager
def refusing(what: str) -> Iterator[None]:
    """Turn whatever a decoder raises inside into one of our errors, and keep its warnings quiet."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            yield
        except Refused:
            raise
        except MemoryError as error:
            raise TooLarge(f"{what} needs more memory than one file may take") from error
        except DECODER_ERRORS as error:
            told = " ".join(str(error).split())[:160] or type(error).__name__
            raise Unreadable(f"{what} is damaged: {told}") from error


def stream(data: bytes) -> io.BytesIO:
    """The file as Pillow wants it; shares the bytes."""
    return io.BytesIO(data)


def exif_fields(raw: bytes | None, limits: Limits) -> dict[int, object]:
    """Fields of IFD0 and the Exif IFD from raw Exif bytes, by number; empty where they cannot be read.

    Damaged Exif costs only the details, never the picture.
    """
    if not raw or len(raw) > limits.header_bytes:
        return {}
    fields: dict[int, object] = {}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            exif = Image.Exif()
            exif.load(raw)
            fields.update(exif)
            fields.update(exif.get_ifd(EXIF_IFD))
            gps = exif.get_ifd(GPS)
            if GPS_TIME in gps and GPS_DATE in gps:
                fields[GPS] = {number: gps[number] for number in (GPS_TIME, GPS_DATE)}  # the moment, not the place
        except DECODER_ERRORS:
            pass
    return fields


def to_rgb(image: Image.Image) -> RGBImage:
    """Pixels as uint8 RGB, shape (h, w, 3). Transparency shows what lies under it; 16-bit grey keeps its upper half."""
    if image.mode in ("I;16", "I;16L", "I;16B", "I;16N", "I"):
        wide = np.asarray(image).astype(np.int64)
        scale = FULL_SCALE_16 if wide.size and wide.max() > 255 else 1
        return np.repeat(np.clip(wide // scale, 0, 255).astype(np.uint8)[:, :, None], 3, axis=2)
    if image.mode == "F":
        bright = np.nan_to_num(np.asarray(image, dtype=np.float32), posinf=255.0, neginf=0.0)
        if bright.size and bright.max() <= 1:
            bright = bright * 255
        return np.repeat(np.clip(bright, 0, 255).astype(np.uint8)[:, :, None], 3, axis=2)
    if image.mode != "RGB":
        image = image.convert("RGB")
    return np.asarray(image)
