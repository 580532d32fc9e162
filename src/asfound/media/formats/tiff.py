"""TIFF 6.0: scans and drawings. Decoded whole; the first page. The plugin turns the picture itself."""

from __future__ import annotations

from PIL import TiffImagePlugin

from asfound.media.format import ImageFormat, ImageHeader, RGBImage
from asfound.media.formats._pillow import EXIF_IFD, refusing, stream, to_rgb
from asfound.media.formats._tiff_tree import is_tiff
from asfound.media.limits import Limits

_SMALL_FIELD = 256


def accepts(prefix: bytes) -> bool:
    """Byte order and version number; DNG files answer to this too and are told apart by their own module."""
    return is_tiff(prefix)


def read_details(data: bytes, limits: Limits) -> ImageHeader:
    """Size as displayed and fields of the first page."""
    with refusing("the TIFF"):
        image = TiffImagePlugin.TiffImageFile(stream(data))
        exif = image.getexif()
        fields: dict[int, object] = {number: value for number, value in exif.items() if _is_small(value)}
        fields.update(exif.get_ifd(EXIF_IFD))
        limits.check_pixels(image.width, image.height, most=limits.pixels_whole)
    return ImageHeader(image.width, image.height, 1, fields)


def decode(data: bytes, limits: Limits, longest: int | None) -> RGBImage:
    """All pixels of the first page, upright."""
    with refusing("the TIFF"):
        image = TiffImagePlugin.TiffImageFile(stream(data))
        limits.check_pixels(image.width, image.height, most=limits.pixels_whole)
        image.load()
        return to_rgb(image)


def _is_small(value: object) -> bool:
    return not isinstance(value, bytes | str | tuple | list) or len(value) <= _SMALL_FIELD


FORMAT = ImageFormat("TIFF", (".tif", ".tiff"), accepts, read_details, decode)
