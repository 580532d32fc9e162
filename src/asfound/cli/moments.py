"""When something happened, as a person says it: a day or a time, and how it is shown again."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import click

from asfound.actions.archive import Archive
from asfound.actions.table_import import read_day
from asfound.core.capture.clock_changes import place_typed
from asfound.core.log.said_when import read_choices, when_words
from asfound.errors import Misused

at_option = click.option(
    "--at", metavar="WHEN", help='When, if not now: 2025-10-18, 31/5, yesterday, "sat 14:30", "2025-10-18 14:30".'
)
by_option = click.option("--by", "by_whom", default="", help="Who did it.")


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
    try:
        moment, is_day_only = read_day(at, archive.job.zone)
    except Misused as refusal:
        return _as_said(archive, at, refusal)
    return in_past(archive, moment), is_day_only


def _as_said(archive: Archive, at: str, refusal: Misused) -> tuple[datetime, bool]:
    """A time in words or in figures without a year, as a typed line of the log takes it."""
    zone = ZoneInfo(archive.job.zone)
    now = archive.now().astimezone(zone)
    choices = read_choices(at, now.replace(tzinfo=None))
    if not choices:
        raise refusal
    if len(choices) > 1:
        days = " or ".join(when_words(one.at, is_day_only=one.is_day_only) for one in choices)
        form = "%Y-%m-%d" if choices[0].is_day_only else "%Y-%m-%d %H:%M"
        raise Misused(f'"{at}" can be {days}; write it like {choices[0].at:{form}}.')
    (said,) = choices
    if said.is_day_only and said.at.date() <= now.date():
        return said.at.replace(tzinfo=zone), True
    if place_typed(said.at, zone) > now + timedelta(minutes=1):
        raise Misused(f"{when_words(said.at)} is still to come; say when it was, such as {now:%Y-%m-%d}.")
    return place_typed(said.at, zone), False


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
