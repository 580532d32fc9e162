"""A second reader of Exif, asked only where Pillow found nothing. Bounded: its slowest file takes a quarter second."""

from __future__ import annotations

import io
import logging
from typing import Literal

import exifread

from asfound.core.capture import exif
from asfound.media.formats._pillow import DECODER_ERRORS
from asfound.media.limits import Limits

_FIELDS = {
    "Image Make": exif.MAKE,
    "Image Model": exif.MODEL,
    "Image Orientation": exif.ORIENTATION,
    "EXIF DateTimeOriginal": exif.TIME_ORIGINAL,
    "EXIF DateTimeDigitized": exif.TIME_DIGITIZED,
    "EXIF OffsetTimeOriginal": exif.OFFSET_ORIGINAL,
    "EXIF OffsetTimeDigitized": exif.OFFSET_DIGITIZED,
    "EXIF SubSecTimeOriginal": exif.FRACTION_ORIGINAL,
    "EXIF SubSecTimeDigitized": exif.FRACTION_DIGITIZED,
    "EXIF BodySerialNumber": exif.SERIALS[0],
    "EXIF FocalLengthIn35mmFilm": exif.FOCAL_35MM,
}
LOOKED_AT_BYTES = 262_144


def second_opinion(data: bytes, limits: Limits) -> dict[int, object]:
    """The fields that matter, by number, from the beginning of a file that mentions Exif; empty when there are none."""
    head = data[: min(LOOKED_AT_BYTES, limits.header_bytes)]
    start = head.find(b"Exif\0\0") + 6
    if start < 6 or not _has_plausible_directory(head[start:]):
        return {}
    logging.getLogger("exifread").setLevel(logging.CRITICAL)
    try:
        found = exifread.process_file(io.BytesIO(head), details=False)
    except (*DECODER_ERRORS, exifread.exceptions.ExifError, MemoryError):
        return {}
    fields: dict[int, object] = {}
    for name, number in _FIELDS.items():
        values = getattr(found.get(name), "values", None)
        if values:
            fields[number] = values if isinstance(values, str) else values[0]
    return fields


def _has_plausible_directory(tiff: bytes) -> bool:
    """Whether the first directory fits into the file; the reader would work through fields that are not there."""
    order: Literal["little", "big"] = "big" if tiff[:2] == b"MM" else "little"
    at = int.from_bytes(tiff[4:8], order)
    return at + 2 + 12 * int.from_bytes(tiff[at : at + 2], order) <= len(tiff)
