"""HEIC (ISO/IEC 23008-12): what many phones write by default. Decoded whole; the library turns the picture itself."""

from __future__ import annotations

import numpy as np
import pillow_heif

from asfound.media.format import ImageFormat, ImageHeader, RGBImage
from asfound.media.formats._boxes import file_brands
from asfound.media.formats._pillow import exif_fields, refusing, to_rgb
from asfound.media.limits import Limits

BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs"})
GENERAL_BRANDS = frozenset({b"mif1", b"mif2", b"msf1"})
"""These say only that pictures are inside; the compatible brands must then name HEVC."""


def accepts(prefix: bytes) -> bool:
    """A file-type box whose brand says pictures in HEVC."""
    brands = file_brands(prefix)
    return bool(brands) and (brands[0] in BRANDS or (brands[0] in GENERAL_BRANDS and not BRANDS.isdisjoint(brands)))


def read_details(data: bytes, limits: Limits) -> ImageHeader:
    """Size as displayed, and Exif. Orientation is 1: the turn is part of the file's own structure and is applied."""
    with refusing("the HEIC"):
        heif = pillow_heif.open_heif(data)
        width, height = heif.size
        raw = heif.info.get("exif")
    return ImageHeader(width, height, 1, exif_fields(raw, limits))


def decode(data: bytes, limits: Limits, longest: int | None) -> RGBImage:
    """All pixels of the main picture, upright. Costs ten times as much as a JPEG."""
    with refusing("the HEIC"):
        heif = pillow_heif.open_heif(data, convert_hdr_to_8bit=True)
        limits.check_pixels(*heif.size, most=limits.pixels_whole)
        image = heif[heif.primary_index]
        if image.mode == "RGB":
            return np.asarray(image)
        return to_rgb(image.to_pillow())


FORMAT = ImageFormat("HEIC", (".heic", ".heif", ".hif"), accepts, read_details, decode)
