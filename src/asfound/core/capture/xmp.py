"""The capture time in an XMP packet (ISO 16684-1), for files whose Exif was stripped.

Read by pattern, not as XML: packets come cut off, doubled and from strangers, and one time is all that is wanted.
"""

from __future__ import annotations

import re
from datetime import datetime

from asfound.core.capture.moments import parse_fraction
from asfound.model.capture import Taken, TimeSource

PACKET = b"<x:xmpmeta"
"""How the part begins that describes the picture."""
MOST_BYTES = 65_536

_FIELDS = (b"exif:DateTimeOriginal", b"exif:DateTimeDigitized", b"photoshop:DateCreated", b"xmp:CreateDate")
"""Best first."""
_TIME = re.compile(
    r"(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)(?::(\d\d)(?:\.(\d{1,9}))?)?(?:(Z)|([+-])(\d\d):(\d\d))?", re.ASCII
)


def parse_xmp_time(packet: bytes) -> Taken | None:
    """The time in a packet, None when it holds no whole one; a date alone says no moment.

    ``Z`` is what many programs write for a time whose zone they do not know, so it gives no offset.
    """
    packet = packet[:MOST_BYTES]
    for field in _FIELDS:
        for value in re.findall(re.escape(field) + rb"\s*(?:=\s*[\"']|>\s*)([0-9TZ:.+\-]{16,40})", packet):
            found = _TIME.fullmatch(value.decode("ascii"))
            if found is not None and (taken := _taken(found)) is not None:
                return taken
    return None


def _taken(found: re.Match[str]) -> Taken | None:
    year, month, day, hour, minute = (int(part) for part in found.groups()[:5])
    try:
        local = datetime(year, month, day, hour, minute, min(int(found[6] or 0), 59), parse_fraction(found[7] or ""))
    except ValueError:
        return None
    if found[9] is None:
        return Taken(local, None, TimeSource.XMP)
    minutes = 60 * int(found[10]) + int(found[11])
    return Taken(local, -minutes if found[9] == "-" else minutes, TimeSource.XMP) if minutes <= 960 else None
