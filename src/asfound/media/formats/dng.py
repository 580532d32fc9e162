"""DNG 1.7: raw pictures of phones and cameras. Not developed: the largest preview inside stands for the picture.

A raw picture without its maker's recipe would look wrong; the preview is what the camera showed. The preview is a JPEG
in one of the directories; the first directory is often only a thumbnail, and the raw pixels may be lossless JPEG.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from asfound.core.capture.exif import ORIENTATION, parse_orientation
from asfound.errors import Refused, Unreadable
from asfound.media.format import ImageFormat, ImageHeader, RGBImage
from asfound.media.formats import jpeg
from asfound.media.formats._pillow import exif_fields
from asfound.media.formats._tiff_tree import Directory, is_tiff, read_directories
from asfound.media.limits import Limits

DNG_VERSION = 0xC612
STRIP_OFFSETS, STRIP_BYTES = 0x0111, 0x0117
JPEG_OFFSET, JPEG_BYTES = 0x0201, 0x0202
LOSSLESS = 0xC3
"""The frame marker of lossless JPEG (ITU-T T.81, table B.1): raw pixels, not a preview."""


def accepts(prefix: bytes) -> bool:
    """A TIFF whose first directory gives a DNG version."""
    if not is_tiff(prefix):
        return False
    first = next(read_directories(prefix), None)
    return first is not None and DNG_VERSION in first.fields


def read_details(data: bytes, limits: Limits) -> ImageHeader:
    """Size of the largest preview, with the details of the DNG itself."""
    preview = jpeg.read_details(_largest_preview(data, limits), limits)
    fields = exif_fields(data, replace(limits, header_bytes=len(data)))
    return ImageHeader(preview.width_px, preview.height_px, parse_orientation(fields.get(ORIENTATION)), fields)


def decode(data: bytes, limits: Limits, longest: int | None) -> RGBImage:
    """Pixels of the largest preview, as stored."""
    return jpeg.decode(_largest_preview(data, limits), limits, longest)


def _largest_preview(data: bytes, limits: Limits) -> bytes:
    """The JPEG with the most pixels that can be opened as a picture."""
    best, most = b"", 0
    for start, size in _jpeg_places(data):
        candidate = data[start : start + size]
        try:
            header = jpeg.read_details(candidate, limits)
        except Refused:
            continue
        if header.width_px * header.height_px > most:
            best, most = candidate, header.width_px * header.height_px
    if not best:
        raise Unreadable("the DNG holds no preview that can be shown; export it as JPEG and add that too")
    return best


def _jpeg_places(data: bytes) -> Iterator[tuple[int, int]]:
    for directory in read_directories(data):
        for offset, length in ((JPEG_OFFSET, JPEG_BYTES), (STRIP_OFFSETS, STRIP_BYTES)):
            start, size = _single(directory, offset), _single(directory, length)
            if 0 < start < len(data) and size > 0 and _is_shown(data[start : start + size]):
                yield start, size


def _single(directory: Directory, number: int) -> int:
    """A field's only value; 0 when there are several, for a preview is never cut into strips."""
    values = directory.fields.get(number, ())
    return values[0] if len(values) == 1 else 0


def _is_shown(candidate: bytes) -> bool:
    """Whether this is a JPEG other than a lossless one."""
    at = 2
    while candidate[:2] == b"\xff\xd8" and at + 4 <= len(candidate) and candidate[at] == 0xFF:
        marker = candidate[at + 1]
        if 0xC0 <= marker <= 0xCF and marker not in (0xC4, 0xC8, 0xCC):
            return marker != LOSSLESS
        at += 2 + int.from_bytes(candidate[at + 2 : at + 4], "big")
    return False


FORMAT = ImageFormat("DNG", (".dng",), accepts, read_details, decode)
