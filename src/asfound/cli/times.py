"""Times as a person types them."""

from __future__ import annotations

from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

import click


class TimeType(click.ParamType[datetime]):
    """A date with a time, with or without an offset."""

    name = "time"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> datetime:
        if isinstance(value, datetime):
            return value
        try:
            return datetime.fromisoformat(str(value).strip())
        except ValueError:
            self.fail(f'"{value}" is no time; write it like 2025-10-18 14:30 or 2025-10-18T14:30:00+02:00', param, ctx)

    @staticmethod
    def in_zone(at: datetime | None, zone: str) -> datetime | None:
        """The moment, read in a zone when it was typed without an offset."""
        if at is None or at.tzinfo is not None:
            return at
        return at.replace(tzinfo=ZoneInfo(zone))


TIME = TimeType()
