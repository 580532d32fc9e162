"""Times as a person types them."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import click

YEARS = range(1970, 2100)
"""A camera whose clock was never set writes 1980, or 1970; work on engines lies between these."""
WRITTEN = "2025-10-18 14:30 or 2025-10-18T14:30:00+02:00"


class TimeType(click.ParamType[datetime]):
    """A date with a time, with or without an offset."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        if isinstance(value, datetime):
            return value
        try:
            at = datetime.fromisoformat(str(value).strip())
        except ValueError:
            self.fail(f'"{value}" is no time; write it like {WRITTEN}', param, ctx)
        if at.year not in YEARS:
            self.fail(
                f'"{value}" lies in the year {at.year}, a slip of the finger; write it like {WRITTEN}', param, ctx
            )
        return at

    @staticmethod
    def in_zone(at: datetime | None, zone: str) -> datetime | None:
        """The moment, read in a zone when it was typed without an offset."""
        if at is None or at.tzinfo is not None:
            return at
        return at.replace(tzinfo=ZoneInfo(zone))


TIME = TimeType()
