"""When something happened, as a person says it: a day or a time, and how it is shown again."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import click

from asfound.actions.archive import Archive
from asfound.actions.table_import import read_day
from asfound.core.capture.clock_changes import place_typed
from asfound.errors import Misused

at_option = click.option("--at", metavar="WHEN", help='When, if not now: 2025-10-18, or "2025-10-18 14:30".')


def said_moment(archive: Archive, at: str | None) -> tuple[datetime | None, bool]:
    """The moment that was typed and whether only its day was; None when nothing was.

    A day counts from its end: the pictures of that day show how it was before.

    Raises
    ------
    Misused
        If it is no time, one that the clocks showed twice or never, or one that is still to come.
    """
    if at is None:
        return None, False
    moment, is_day_only = read_day(at, archive.job.zone)
    return in_past(archive, moment), is_day_only


def in_past(archive: Archive, typed: datetime) -> datetime:
    """A typed time with its offset, in the job's zone where none was typed: what is written down has happened.

    Tomorrow passes, for another zone's clock may be there already.

    Raises
    ------
    Misused
        If the zone's clocks showed it twice or never, or if it is later than tomorrow.
    """
    zone, now = ZoneInfo(archive.job.zone), archive.now()
    moment = place_typed(typed, zone)
    if moment.astimezone(zone).date() > now.astimezone(zone).date() + timedelta(days=1):
        raise Misused(f"{moment:%Y-%m-%d} is still to come; say when it was, such as {now:%Y-%m-%d}.")
    return moment


def day_or_minute(at: datetime, zone: str, *, is_day_only: bool) -> str:
    """A moment on the job's clock, to the minute; the day alone where no more is known."""
    local = at.astimezone(ZoneInfo(zone))
    return f"{local:%Y-%m-%d}      " if is_day_only else f"{local:%Y-%m-%d %H:%M}"
