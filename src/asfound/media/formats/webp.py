"""WebP (RFC 9649): what messengers and browsers hand on. Decoded whole; the first picture of an animation."""

from __future__ import annotations

from PIL import Image, WebPImagePlugin

from asfound.core.capture.exif import ORIENTATION, parse_orientation
from asfound.errors import Unreadable
from asfound.media.format import ImageFormat, ImageHeader, RGBImage
from asfound.media.formats._pillow import exif_fields, refusing, stream, to_rgb
from asfound.media.limits import Limits


def accepts(prefix: bytes) -> bool:
    """RIFF, a length, WEBP."""
    return prefix[:4] == b"RIFF" and prefix[8:12] == b"WEBP"


def read_details(data: bytes, limits: Limits) -> ImageHeader:
    """Size from the first chunk, Exif from the file."""
    width, height = _size(data)
    # The plugin sets aside memory for the whole canvas when it opens the file.
    limits.check_pixels(width, height, most=limits.pixels_whole)
    with refusing("the WebP"):
        raw = WebPImagePlugin.WebPImageFile(stream(data)).info.get("exif")
    fields = exif_fields(raw if isinstance(raw, bytes) else None, limits)
    return ImageHeader(width, height, parse_orientation(fields.get(ORIENTATION)), fields)


def decode(data: bytes, limits: Limits, longest: int | None) -> RGBImage:
    """All pixels of the first picture."""
    limits.check_pixels(*_size(data), most=limits.pixels_whole)
    with refusing("the WebP"):
        image: Image.Image = WebPImagePlugin.WebPImageFile(stream(data))
        image.load()
        return to_rgb(image)


def _size(data: bytes) -> tuple[int, int]:
    """Width and height as the first chunk gives them (RFC 9649, 2.5 to 2.7)."""
    body = data[20:30]
    match data[12:16]:
        case b"VP8X" if len(body) == 10:
            return 1 + int.from_bytes(body[4:7], "little"), 1 + int.from_bytes(body[7:10], "little")
        case b"VP8L" if len(body) >= 5 and body[0] == 0x2F:
            bits = int.from_bytes(body[1:5], "little")
            return 1 + (bits & 0x3FFF), 1 + (bits >> 14 & 0x3FFF)
        case b"VP8 " if len(body) == 10 and body[3:6] == b"\x9d\x01\x2a":
            width = int.from_bytes(body[6:8], "little") & 0x3FFF
            height = int.from_bytes(body[8:10], "little") & 0x3FFF
            if width and height:
                return width, height
    raise Unreadable("the WebP is cut off or damaged within its header")


FORMAT = ImageFormat("WebP", (".webp",), accepts, read_details, decode)
