"""Times in the names that phones and cameras give their files."""

from __future__ import annotations

import re
from datetime import datetime

from asfound.core.capture.moments import parse_fraction

_RUN_TOGETHER = re.compile(r"(?<!\d)((?:19|20)\d{6})[_\-T .]?(\d{6})(\d{3})?(?!\d)", re.ASCII)
_PARTED = re.compile(
    r"(?<!\d)((?:19|20)\d{2})[-_.](\d{2})[-_.](\d{2})(?:[ _T-]| at |, )(\d{2})[.:\-_h](\d{2})[.:\-_m](\d{2})(?!\d)",
    re.ASCII,
)
_NAMED_IN_UTC = ("PXL_",)
"""Beginnings of names whose digits are UTC, not wall-clock time."""
_SAYS_UTC = re.compile(r"\d{8}[_\-T .]?\d{6}(\d{3})?Z(?![A-Za-z0-9])", re.ASCII)
"""The Z of ISO 8601, as in ``20251018T094211Z``."""


def parse_name_time(name: str) -> datetime | None:
    """The date and time in a file name, None when it holds no whole one.

    A date alone (``IMG-20251018-WA0001``) is not enough: it says when a message was sent, and midnight would be a
    lie. The result is naive: wall-clock time, or UTC where `is_name_in_utc` says so.

    Examples
    --------
    >>> parse_name_time("IMG_20251018_094211.jpg")
    datetime.datetime(2025, 10, 18, 9, 42, 11)
    """
    for found in _RUN_TOGETHER.finditer(name):
        moment = _moment(found[1] + found[2], found[3] or "")
        if moment is not None:
            return moment
    for found in _PARTED.finditer(name):
        moment = _moment("".join(found.groups()), "")
        if moment is not None:
            return moment
    return None


def is_name_in_utc(name: str) -> bool:
    """Whether a name of this kind counts in UTC."""
    return name.upper().startswith(_NAMED_IN_UTC) or _SAYS_UTC.search(name) is not None


def _moment(digits: str, fraction: str) -> datetime | None:
    try:
        local = datetime.strptime(digits, "%Y%m%d%H%M%S")
    except ValueError:
        return None
    return local.replace(microsecond=parse_fraction(fraction))
