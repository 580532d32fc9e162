"""Where was I: the last day's work, what is open, and what comes next, for whoever comes back after months."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from asfound.actions import bags, gaps, log, snags
from asfound.actions.archive import Archive
from asfound.actions.away import list_away
from asfound.actions.fit import FitPlan, plan_fit
from asfound.actions.fluids import list_fluids
from asfound.actions.look_over import look_again
from asfound.actions.to_buy import list_to_buy
from asfound.actions.values import not_final
from asfound.core.log.looks import look_words
from asfound.errors import Misused
from asfound.model.log import Bag, Gap, LogLine, Snag
from asfound.store import fitting
from asfound.store.pictures import list_pictures

LONGEST_NOTE = 500
LEAST_PAUSE = timedelta(days=30)
"""A rest between two weekends is none."""


@dataclass(frozen=True, slots=True)
class WhereWasI:
    """What to read before touching anything.

    Attributes
    ----------
    day : date or None
        The last day on which something happened; None while nothing has.
    lines : tuple of LogLine
        What happened on that day.
    pictures : int
        How many were taken on that day.
    note : str
        What was handed over at the latest, and when.
    came_off_last : tuple of str
        Names of the things that came off on the last day on which anything did; `off_day` is that day.
    pause : tuple of date or None
        The longest rest between two days of work, as the days around it, when it was longer than `LEAST_PAUSE`.
    away : tuple of str
        What was sent out and is not back, to whom, and promised for when.
    not_final : tuple of str
        Values typed from the manual that are not reached, not for good, or not as they were typed.
    not_filled : tuple of str
        Fluids that were drained and not filled, with what came out.
    still_off : tuple of str
        Names of the things that are off.
    closable : tuple of Gap
        Gaps that only the machine as it stands can still close.
    other_gaps : int
    to_buy : tuple of str
        What is to be bought and has not arrived, and why.
    to_count : tuple of Bag
        Bags not counted back, or that came back short.
    look_again : tuple of str
        What was called wrong when it was looked over, or could not be told.
    next_up : tuple of str
        Names of the next things that are free to fit.
    """

    day: date | None
    lines: tuple[LogLine, ...]
    pictures: int
    note: str
    note_day: date | None
    came_off_last: tuple[str, ...]
    off_day: date | None
    pause: tuple[date, date] | None
    away: tuple[str, ...]
    not_final: tuple[str, ...]
    not_filled: tuple[str, ...]
    still_off: tuple[str, ...]
    by_hand: tuple[str, ...]
    closable: tuple[Gap, ...]
    other_gaps: int
    open_snags: tuple[Snag, ...]
    to_buy: tuple[str, ...]
    to_count: tuple[Bag, ...]
    look_again: tuple[str, ...]
    next_up: tuple[str, ...]
    plan: FitPlan


def where_was_i(archive: Archive) -> WhereWasI:
    """Gather it from the record."""
    zone = ZoneInfo(archive.job.zone)
    lines = [line for line in log.list_lines(archive) if not line.is_struck]
    taken = [
        datetime.fromtimestamp(picture.taken_utc_s, zone).date()
        for picture in list_pictures(archive.store, archive.job.job_id)
        if picture.taken_utc_s is not None and picture.time_doubt is None
    ]
    days = [*(line.at.astimezone(zone).date() for line in lines), *taken]
    day = max(days, default=None)
    notes = fitting.list_day_notes(archive.store, archive.job.job_id)
    note_day = max(notes, default=None)
    plan = plan_fit(archive)
    off = [line for line in lines if line.kind == "off" and line.tag_id is not None]
    off_day = max((line.at.astimezone(zone).date() for line in off), default=None)
    last_off = [line.tag_id for line in off if line.tag_id and line.at.astimezone(zone).date() == off_day]
    found = gaps.find_gaps(archive)
    return WhereWasI(
        day=day,
        lines=tuple(line for line in lines if line.at.astimezone(zone).date() == day),
        pictures=taken.count(day) if day else 0,
        note=notes[note_day] if note_day else "",
        note_day=date.fromisoformat(note_day) if note_day else None,
        came_off_last=tuple(plan.name(tag_id) for tag_id in dict.fromkeys(last_off)),
        off_day=off_day,
        pause=_longest_pause([*days, *map(date.fromisoformat, notes)]),
        away=tuple(one.words for one in list_away(archive)),
        not_final=tuple(
            f"{plan.name(one.value.tag_id) if one.value.tag_id else one.value.thing}, {one.value.what}: {one.words}"
            for one in not_final(archive)
        ),
        not_filled=tuple(
            f"{fluid.name}{f' (came out: {fluid.out_words})' if fluid.out_words else ''}"
            for fluid in list_fluids(archive)
            if fluid.is_open
        ),
        still_off=tuple(plan.name(one.tag_id) for one in plan.not_tight if one.state == "not fitted"),
        by_hand=tuple(plan.name(one.tag_id) for one in plan.not_tight if one.state == "by hand"),
        closable=tuple(gap for gap in found if gap.at_machine),
        other_gaps=sum(not gap.at_machine for gap in found),
        open_snags=tuple(snag for snag in snags.list_snags(archive) if snag.is_open),
        to_buy=tuple(words for _item, words in list_to_buy(archive)),
        to_count=tuple(bag for bag in bags.list_bags(archive) if bag.is_to_count),
        look_again=tuple(
            f"{plan.name(tag.tag_id)}{f' end {line.end}' if line.end else ''} {look_words(line)}"
            for tag, line in look_again(archive)
        ),
        next_up=tuple(plan.name(step.step) for step in plan.free),
        plan=plan,
    )


def _longest_pause(days: Iterable[date]) -> tuple[date, date] | None:
    rests = [(early, late) for early, late in pairwise(sorted(set(days))) if late - early > LEAST_PAUSE]
    return max(rests, key=lambda rest: rest[1] - rest[0], default=None)


def hand_over(archive: Archive, note: str, day: date | None = None) -> None:
    """Write the note of a day, in one line: what to know when work goes on. A later one of the day replaces it."""
    note = " ".join(note.split())
    if not note or len(note) > LONGEST_NOTE:
        raise Misused(
            f'Say in one line of up to {LONGEST_NOTE} characters what to know: asfound handover "fuel is off"'
        )
    on = day or _today(archive)
    with archive.step(f"note of {on}"):
        fitting.save_day_note(archive.store, archive.job.job_id, on.isoformat(), note)


def note_of_today(archive: Archive) -> str:
    """The note handed over today; empty while there is none."""
    return list_handovers(archive).get(_today(archive).isoformat(), "")


def list_handovers(archive: Archive) -> dict[str, str]:
    """Day to its note, oldest first."""
    return fitting.list_day_notes(archive.store, archive.job.job_id)


def _today(archive: Archive) -> date:
    return archive.now().astimezone(ZoneInfo(archive.job.zone)).date()
