"""A line of the log from what a person types in one go."""

from __future__ import annotations

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from asfound.actions import log, resolve
from asfound.actions.archive import Archive
from asfound.actions.fit_oddity import oddity
from asfound.actions.resolve import TagRef
from asfound.actions.values import Reached, reach
from asfound.core.capture.clock_changes import place_typed
from asfound.core.log.happening import TIMED_EXAMPLE, Happening, parse_happening
from asfound.core.log.said_when import SaidWhen, when_words
from asfound.core.refit.amounts import is_torque
from asfound.errors import Misused


def write_words(archive: Archive, line: str) -> str:
    """Write down what a line says of one thing or several, in one step; what was understood, field by field.

    A time or a day in it is by the clock of the job's zone.

    Raises
    ------
    Misused, NotFound, Ambiguous
        Nothing is written then.
    """
    zone = ZoneInfo(archive.job.zone)
    said = parse_happening(line, archive.now().astimezone(zone).date())
    at = _moment(archive, said.when, zone) if said.when else None
    found = [resolve.get_tag(archive, number) for number in said.numbers]
    what = f"{said.kind}{f', {said.how}' if said.how else ''}"
    odd: list[str] = []
    bags: list[str] = []
    with archive.step(f"{', '.join(said.numbers)} {what}"):
        for one in found:
            odd += filter(None, [oddity(archive, one.tag, said.kind)])
            bags.append(_write(archive, one, said, at))
    things = "; ".join(
        f"{number} {one.tag.name or one.tag.kind}" for number, one in zip(said.numbers, found, strict=True)
    )
    bag = bags[0] if bags[0] in ("", log.BACK_IN_PLACE) else f"bag {bags[0]}"
    when = f"on {when_words(at, is_day_only=_is_day_only(said))}" if at else ""
    told = ", ".join(filter(None, (f"{things}: {what}", bag, said.note, when)))
    return ". ".join(filter(None, (told, *map(_bare, odd))))


def _moment(archive: Archive, when: SaidWhen, zone: ZoneInfo) -> datetime | None:
    """The typed time with its offset; None for a day that is today, of which now says more."""
    now = archive.now().astimezone(zone)
    if when.is_day_only and when.at.date() == now.date():
        return None
    # The last minute of a day is nobody's typed time; where it was twice either will do.
    at = when.at.replace(tzinfo=zone) if when.is_day_only else place_typed(when.at, zone).astimezone(zone)
    if at > now + timedelta(minutes=1):
        raise Misused(f"{when_words(at)} is still to come; say when it was, such as: {TIMED_EXAMPLE}.")
    return at


def _is_day_only(said: Happening) -> bool:
    return said.when is not None and said.when.is_day_only


def _write(archive: Archive, one: TagRef, said: Happening, at: datetime | None) -> str:
    """Write it of one thing, now unless a time was said; the bag as it is kept."""
    is_day_only = at is not None and _is_day_only(said)
    if said.kind == "off":
        return log.mark_off(archive, one.tag, bag=said.bag, note=said.note, at=at, is_day_only=is_day_only).bag
    if said.kind == "refitted":
        is_reached = said.how == "torqued" and is_torque(said.note)
        note = "" if is_reached else said.note
        log.mark_refitted(archive, one.tag, how=said.how, note=note, at=at, is_day_only=is_day_only)
        if is_reached:
            reach(archive, one.tag, Reached(said.note), at=at, is_day_only=is_day_only)
        return ""
    if said.kind == "torque":
        reach(archive, one.tag, Reached(said.note), at=at, is_day_only=is_day_only)
        return ""
    if said.kind == "drained":
        log.write_drained(archive, log.Drained(said.note), tag=one.tag, at=at, is_day_only=is_day_only)
        return ""
    line = log.write_line(
        archive, one.tag, said.kind, end=one.end, note=said.note, bag=said.bag, at=at, is_day_only=is_day_only
    )
    return line.bag


def _bare(sentence: str) -> str:
    return sentence.rstrip(".")
