"""Moments as text: RFC 3339, and the form without a colon in the offset that phones write into clips."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

UNKNOWN_OFFSET_IS_UTC: Final = None
"""Offset of a `CameraMoment` whose time is UTC while nobody says what the clocks on the wall showed (RFC 3339, 4.3)."""

_FORM = re.compile(
    r"(\d{4})-(\d{2})-(\d{2})[Tt ](\d{2}):(\d{2}):(\d{2})(?:[.,](\d+))?\s*(?:([Zz])|([+-])(\d{2}):?(\d{2}))",
    re.ASCII,
)


@dataclass(frozen=True, slots=True)
class CameraMoment:
    """A parsed moment.

    Attributes
    ----------
    local : datetime
        Naive: wall-clock time with an offset, UTC without one.
    offset_minutes : int or None
        Minutes east of UTC; None (`UNKNOWN_OFFSET_IS_UTC`) for ``Z`` and ``-00:00``.
    """

    local: datetime
    offset_minutes: int | None


def parse_rfc3339(text: str) -> CameraMoment | None:
    """Read ``2025-10-18T09:42:11.07+02:00``, also with ``+0200``, small ``t`` and ``z``, and second 60.

    A leap second is taken as the second after it, as Unix time does. Returns None for anything else; files are full
    of half-written times, and an unreadable one is the same as none.
    """
    found = _FORM.fullmatch(text.strip("\0 \t\r\n"))
    if found is None:
        return None
    year, month, day, hour, minute, second = (int(part) for part in found.groups()[:6])
    leap = second == 60
    try:
        local = datetime(year, month, day, hour, minute, 59 if leap else second, parse_fraction(found[7] or ""))
        local += timedelta(seconds=1 if leap else 0)
    except (ValueError, OverflowError):
        return None
    if found[8]:
        return CameraMoment(local, UNKNOWN_OFFSET_IS_UTC)
    hours, minutes = int(found[10]), int(found[11])
    if hours > 23 or minutes > 59:
        return None
    if found[9] == "-":
        return CameraMoment(local, -(60 * hours + minutes) or UNKNOWN_OFFSET_IS_UTC)
    return CameraMoment(local, 60 * hours + minutes)


def render_rfc3339(local: datetime, offset_minutes: int | None) -> str:
    """Write a wall-clock time with its offset; without one the text ends after the seconds.

    Examples
    --------
    >>> render_rfc3339(datetime(2025, 10, 18, 9, 42, 11, 70000), 120)
    '2025-10-18T09:42:11.07+02:00'
    """
    text = local.replace(tzinfo=None, microsecond=0).isoformat()
    if local.microsecond:
        text += f".{local.microsecond:06d}".rstrip("0")
    if offset_minutes is None:
        return text
    hours, minutes = divmod(abs(offset_minutes), 60)
    return f"{text}{'-' if offset_minutes < 0 else '+'}{hours:02d}:{minutes:02d}"


def parse_fraction(text: str) -> int:
    """Microseconds from the digits after a decimal point: ``07`` is 70000, not 7. Nothing readable is 0."""
    digits = re.match(r"\d*", text.strip("\0 "), re.ASCII)
    return int((digits[0] if digits else "")[:6].ljust(6, "0"))
