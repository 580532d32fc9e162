"""The name of the system's time zone."""

from __future__ import annotations

import os
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

LINK = Path("/etc/localtime")
TEXT = Path("/etc/timezone")


def read_system_zone() -> str | None:
    """The IANA name of the zone this computer is set to, such as ``Europe/Amsterdam``; None when it does not tell."""
    return next((name for name in _candidates() if _is_zone(name)), None)


def _candidates() -> list[str]:
    names = [os.environ.get("TZ", "").lstrip(":")]
    try:
        names.append(TEXT.read_text(encoding="utf-8").strip())
    except (OSError, UnicodeDecodeError):
        pass
    try:
        names.append(os.path.realpath(LINK).rpartition("zoneinfo/")[2])
    except OSError:
        pass
    return names


def _is_zone(name: str) -> bool:
    if not name or name.startswith(("/", ".")):
        return False
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    return True
