"""When something happened, as a person says it: a day or a time, and how it is shown again."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

import click

from asfound.actions.archive import Archive
from asfound.actions.table_import import read_day

at_option = click.option("--at", metavar="WHEN", help='When, if not now: 2025-10-18, or "2025-10-18 14:30".')


def said_moment(archive: Archive, at: str | None) -> tuple[datetime | None, bool]:
    """The moment that was typed and whether only its day was; None when nothing was.

    A day counts from its end: the pictures of that day show how it was before.
    """
    return (None, False) if at is None else read_day(at, archive.job.zone)


def day_or_minute(at: datetime, zone: str, *, is_day_only: bool) -> str:
    """A moment on the job's clock, to the minute; the day alone where no more is known."""
    local = at.astimezone(ZoneInfo(zone))
    return f"{local:%Y-%m-%d}      " if is_day_only else f"{local:%Y-%m-%d %H:%M}"
