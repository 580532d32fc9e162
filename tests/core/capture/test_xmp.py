"""Times in XMP packets, in the forms of ISO 16684-1: as attributes and as elements."""

from __future__ import annotations

from datetime import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as some

from asfound.core.capture.xmp import MOST_BYTES, parse_xmp_time
from asfound.model.capture import Taken, TimeSource

AT = datetime(2025, 10, 18, 9, 42, 11)


@pytest.mark.parametrize(
    ("packet", "local", "offset_minutes"),
    [
        (b'<rdf:Description exif:DateTimeOriginal="2025-10-18T09:42:11+02:00"/>', AT, 120),
        (b"<exif:DateTimeOriginal>2025-10-18T09:42:11-05:30</exif:DateTimeOriginal>", AT, -330),
        (b"<xmp:CreateDate>2025-10-18T09:42:11.07</xmp:CreateDate>", AT.replace(microsecond=70000), None),
        (b"photoshop:DateCreated = '2025-10-18T09:42'", AT.replace(second=0), None),
        (b'xmp:CreateDate="2025-10-18T09:42:11Z"', AT, None),
        (b'xmp:CreateDate="2026-01-02T00:00:00" exif:DateTimeOriginal="2025-10-18T09:42:11"', AT, None),
        (b'exif:DateTimeOriginal="0000-00-00T00:00:00" xmp:CreateDate="2025-10-18T09:42:11"', AT, None),
    ],
)
def test_best_time_of_a_packet(packet: bytes, local: datetime, offset_minutes: int | None):
    assert parse_xmp_time(packet) == Taken(local, offset_minutes, TimeSource.XMP)


@pytest.mark.parametrize(
    "packet",
    [
        b"",
        b'exif:DateTimeOriginal="2025-10-18"',
        b'exif:DateTimeOriginal="yesterday at nine"',
        b'xmp:ModifyDate="2025-10-18T09:42:11"',
        b" " * MOST_BYTES + b'exif:DateTimeOriginal="2025-10-18T09:42:11"',
        b'exif:DateTimeOriginal="2025-10-18T09:42:11+99:00"',
    ],
)
def test_what_is_no_time_of_taking_is_none(packet: bytes):
    assert parse_xmp_time(packet) is None


@given(some.binary(max_size=80))
def test_no_bytes_make_it_raise(raw: bytes):
    parse_xmp_time(b'exif:DateTimeOriginal="' + raw + b'"')
