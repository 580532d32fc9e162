"""What a picture's Exif fields say about its making (CIPA DC-008; field numbers as in Exif 2.32).

Takes fields that some reader has already found, as field number to value; finding them is `asfound.media`'s work.
Cameras write blanks, zeros, NULs and rubbish where they know nothing: all of it means unknown and raises nothing.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from datetime import datetime

from asfound.core.capture.moments import parse_fraction
from asfound.model.capture import CaptureDetails, Taken, TimeDoubt, TimeSource

MAKE, MODEL, ORIENTATION = 0x010F, 0x0110, 0x0112
TIME_ORIGINAL, TIME_DIGITIZED, TIME_EDITED = 0x9003, 0x9004, 0x0132
GPS, GPS_TIME, GPS_DATE = 0x8825, 7, 29
"""The GPS fields as one mapping, of which the moment alone is looked at, never the place."""
OFFSET_ORIGINAL, OFFSET_DIGITIZED = 0x9011, 0x9012
FRACTION_ORIGINAL, FRACTION_DIGITIZED = 0x9291, 0x9292
FOCAL_35MM = 0xA405
SERIALS = (0xA431, 0xC62F)
"""BodySerialNumber of Exif, CameraSerialNumber of DNG."""

_TIME = re.compile(r"(\d{4})[:\-/.](\d{2})[:\-/.](\d{2})[ T](\d{2}):(\d{2}):(\d{2})", re.ASCII)
_OFFSET = re.compile(r"([+-])(\d{2}):?(\d{2})", re.ASCII)
_MOST_CHARACTERS = 120


def parse_exif(fields: Mapping[int, object]) -> CaptureDetails:
    """Camera, orientation and capture time from Exif fields.

    Parameters
    ----------
    fields : mapping of int to object
        Fields of IFD0 and of the Exif IFD together, by number. Values as readers give them: text, bytes, numbers,
        rationals, or sequences of these.

    Returns
    -------
    CaptureDetails
        `taken` has an offset only when the file gives one. A GPS moment is UTC, with offset 0. DateTime (0x0132) is
        the last edit; it stands in, doubted, where there is nothing else.
    """
    return CaptureDetails(
        taken=_parse_taken(fields),
        make=parse_text(fields.get(MAKE)),
        model=parse_text(fields.get(MODEL)),
        serial=next((text for field in SERIALS if (text := parse_text(fields.get(field)))), ""),
        orientation=parse_orientation(fields.get(ORIENTATION)),
        focal_35mm=_parse_focal(fields.get(FOCAL_35MM)),
    )


def parse_exif_time(value: object) -> datetime | None:
    """``2025:10:18 09:42:11`` as a naive datetime; None for blanks, zeros and whatever is no time."""
    found = _TIME.match(parse_text(value))
    if found is None:
        return None
    year, month, day, hour, minute, second = (int(part) for part in found.groups())
    try:
        return datetime(year, month, day, hour, minute, min(second, 59) if second == 60 else second)
    except ValueError:
        return None


def parse_exif_offset(value: object) -> int | None:
    """``+02:00`` in minutes east of UTC; ``Z`` is 0; None for anything else."""
    text = parse_text(value)
    if text in ("Z", "z"):
        return 0
    found = _OFFSET.fullmatch(text)
    if found is None or int(found[2]) > 15 or int(found[3]) > 59:
        return None
    minutes = 60 * int(found[2]) + int(found[3])
    return -minutes if found[1] == "-" else minutes


def parse_orientation(value: object) -> int:
    """Exif Orientation, 1 to 8; 1 for anything else."""
    number = _number(value)
    return int(number) if number is not None and number in range(1, 9) else 1


def parse_text(value: object) -> str:
    """A field's text up to its first NUL, without surrounding blanks; empty when it is no text."""
    if isinstance(value, bytes | bytearray):
        value = bytes(value).decode("utf-8", errors="replace")
    if not isinstance(value, str):
        return ""
    text = value.split("\0", 1)[0]
    return "".join(c if c.isprintable() else " " for c in text).strip()[:_MOST_CHARACTERS]


def _parse_taken(fields: Mapping[int, object]) -> Taken | None:
    for time, offset, fraction, source in (
        (TIME_ORIGINAL, OFFSET_ORIGINAL, FRACTION_ORIGINAL, TimeSource.EXIF_ORIGINAL),
        (TIME_DIGITIZED, OFFSET_DIGITIZED, FRACTION_DIGITIZED, TimeSource.EXIF_DIGITIZED),
    ):
        local = parse_exif_time(fields.get(time))
        if local is not None:
            local = local.replace(microsecond=parse_fraction(parse_text(fields.get(fraction))))
            return Taken(local, parse_exif_offset(fields.get(offset)), source)
    edited = parse_exif_time(fields.get(TIME_EDITED))
    doubted = None if edited is None else Taken(edited, None, TimeSource.EXIF_EDITED, TimeDoubt.EDITED)
    return _parse_gps(fields.get(GPS)) or doubted


def _parse_gps(fields: object) -> Taken | None:
    """The moment at which satellites were last heard, in UTC (Exif 2.32, table 15)."""
    if not isinstance(fields, Mapping):
        return None
    parts = fields.get(GPS_TIME)
    numbers = [_number(part) for part in parts] if isinstance(parts, list | tuple) else []
    if len(numbers) != 3 or None in numbers:
        return None
    hour, minute, second = (int(number or 0) for number in numbers)
    moment = parse_exif_time(f"{parse_text(fields.get(GPS_DATE))} {hour:02d}:{minute:02d}:{second:02d}")
    return None if moment is None else Taken(moment, 0, TimeSource.GPS)


def _parse_focal(value: object) -> float | None:
    number = _number(value)
    return number if number is not None and 0 < number < 10_000 else None


def _number(value: object) -> float | None:
    """The first number in a field's value."""
    if isinstance(value, list | tuple):
        value = value[0] if value else None
    try:
        number = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return number if math.isfinite(number) else None
