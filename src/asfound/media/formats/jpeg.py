"""JPEG (ITU-T T.81), as every phone and camera writes it. Decoded at 1/2, 1/4 or 1/8 where that is enough."""

from __future__ import annotations

from PIL import JpegImagePlugin

from asfound.core.capture.exif import ORIENTATION, parse_orientation
from asfound.media.format import ImageFormat, ImageHeader, RGBImage
from asfound.media.formats._pillow import exif_fields, refusing, stream, to_rgb
from asfound.media.formats._second_reader import second_opinion
from asfound.media.limits import Limits

HOLE_BYTES = 4096
"""So many zero bytes in a row do not come out of a camera's entropy coder; a card that lost a sector writes them."""


def accepts(prefix: bytes) -> bool:
    """Start of image, then a marker."""
    return prefix[:3] == b"\xff\xd8\xff"


def read_details(data: bytes, limits: Limits) -> ImageHeader:
    """Size, orientation and Exif of a JPEG; costs 0.2 ms."""
    with refusing("the JPEG"):
        image = JpegImagePlugin.JpegImageFile(stream(data))
        fields = exif_fields(image.info.get("exif"), limits) or second_opinion(data, limits)
    orientation = parse_orientation(fields.get(ORIENTATION))
    trouble = "a stretch of it was overwritten with zeros" if has_hole(data) else ""
    return ImageHeader(image.width, image.height, orientation, fields, trouble)


def decode(data: bytes, limits: Limits, longest: int | None) -> RGBImage:
    """Pixels as stored, reduced by a power of two while the longest side stays at least `longest`.

    A truncated file is refused. Decoding at a quarter costs a third of decoding whole: reading the bits remains.
    """
    with refusing("the JPEG"):
        image = JpegImagePlugin.JpegImageFile(stream(data))
        limits.check_pixels(image.width, image.height, most=limits.pixels_reduced)
        if longest is not None:
            factor = _reduction(max(image.size), longest)
            if factor > 1:
                image.draft("RGB", (max(1, image.width // factor), max(1, image.height // factor)))
        limits.check_pixels(image.width, image.height, most=limits.pixels_whole)
        # All at once: near the end of each piece the library falls back to its slow way of reading bits.
        image.decodermaxblock = len(data)
        image.load()
        return to_rgb(image)


def has_hole(data: bytes) -> bool:
    """Whether a run of zeros sits inside the coded picture. Padding after the end of the image is no hole."""
    start = data.find(b"\xff\xda")
    hole = data.find(bytes(HOLE_BYTES), max(start, 0))
    return hole >= 0 and data.find(b"\xff\xd9", hole) >= 0 and data.find(b"\xff\xd9", max(start, 0), hole) < 0


def _reduction(side_px: int, longest: int) -> int:
    """The largest of 8, 4, 2, 1 that leaves at least `longest` pixels."""
    return next((factor for factor in (8, 4, 2) if side_px // factor >= longest), 1)


FORMAT = ImageFormat("JPEG", (".jpg", ".jpeg", ".jpe", ".jfif", ".mpo"), accepts, read_details, decode)
