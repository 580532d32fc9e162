"""PNG (ISO/IEC 15948): screenshots and scans. Decoded whole; the first picture of an animation."""

from __future__ import annotations

import struct

from PIL import Image, PngImagePlugin

from asfound.core.capture.exif import ORIENTATION, parse_orientation
from asfound.errors import Unreadable
from asfound.media.format import ImageFormat, ImageHeader, RGBImage
from asfound.media.formats._pillow import exif_fields, refusing, stream, to_rgb
from asfound.media.limits import Limits

SIGNATURE = b"\x89PNG\r\n\x1a\n"


def accepts(prefix: bytes) -> bool:
    """The eight bytes of the signature."""
    return prefix.startswith(SIGNATURE)


def read_details(data: bytes, limits: Limits) -> ImageHeader:
    """Size and, where an eXIf chunk comes before the pixels, Exif."""
    width, height = _size(data)
    limits.check_pixels(width, height, most=limits.pixels_whole)
    with refusing("the PNG"):
        image = PngImagePlugin.PngImageFile(stream(data))
        raw = image.info.get("exif")
    fields = exif_fields(raw if isinstance(raw, bytes) else None, limits)
    return ImageHeader(width, height, parse_orientation(fields.get(ORIENTATION)), fields)


def decode(data: bytes, limits: Limits, longest: int | None) -> RGBImage:
    """All pixels; the format offers no cheaper way to a smaller picture."""
    limits.check_pixels(*_size(data), most=limits.pixels_whole)
    with refusing("the PNG"):
        image: Image.Image = PngImagePlugin.PngImageFile(stream(data))
        image.load()
        return to_rgb(image)


def _size(data: bytes) -> tuple[int, int]:
    """Width and height from IHDR, which always comes first."""
    if len(data) < 24 or data[12:16] != b"IHDR":
        raise Unreadable("the PNG is cut off within its header")
    width, height = struct.unpack(">II", data[16:24])
    if not width or not height:
        raise Unreadable("the PNG says that it has no pixels")
    return width, height


FORMAT = ImageFormat("PNG", (".png", ".apng"), accepts, read_details, decode)
