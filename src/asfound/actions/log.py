"""The log of what happened to each thing, in lines that are only ever added, and taking any step back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from asfound.actions import bags as bag_actions
from asfound.actions.archive import Archive, kept
from asfound.actions.bags import BACK_IN_PLACE as BACK_IN_PLACE
from asfound.core.log.first_off import first_off_s
from asfound.errors import Misused, NotFound
from asfound.model.log import HAPPENINGS, HOW_REFITTED, NOT_SO, Event, LogLine
from asfound.model.tags import EndLetter, Tag
from asfound.store import bags, events, tags
from asfound.store.pictures import list_pictures

LONG_BEFORE_S = 366 * 86_400
"""What is said to have happened so long before a job is most likely a slip of the finger."""
TAPE_LOST, TAPE_BACK = "tape lost", "tape back"
_WANTS_WORDS = {
    "measured": 'measured, such as "shims 2.0 + 1.0 mm"',
    "note": 'noted, such as "has a dent"',
}


@dataclass(frozen=True, slots=True)
class Drained:
    """A fluid that was let out: what, how much ("7.5 l"), into which container, and how it looked."""

    what: str
    amount: str = ""
    container: str = ""
    looks: str = ""
    note: str = ""
    by_whom: str = ""


def mark_off(
    archive: Archive,
    tag: Tag,
    *,
    end: EndLetter | None = None,
    bag: str = "",
    note: str = "",
    by_whom: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> Event:
    """Write down that a thing, or one end of it, came off, and where its fasteners went.

    `bag` is a bag's label, or "back in place"; a bag not heard of before is added.

    Returns the line just written, also where a later one is known already.
    """
    now = archive.now()
    with archive.step(f"{tag.number} off"):
        bag = _note_bag(archive, tag, bag)
        event_id = events.add_event(
            archive.store,
            tag.tag_id,
            "off",
            at or now,
            now,
            end=_end_of(tag, end),
            bag=bag,
            note=note,
            by_whom=by_whom,
            is_day_only=is_day_only,
        )
    return events.get_event(archive.store, event_id)


def mark_refitted(
    archive: Archive,
    tag: Tag,
    *,
    end: EndLetter | None = None,
    how: str = "",
    note: str = "",
    by_whom: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> Event:
    """Write down that a thing, or one end of it, went back, and how: by hand, tight, torqued, marked or checked.

    Saying it again with another `how` adds to the history; the latest word counts. Returns the line just written, also
    where a later one is known already.
    """
    if how and how not in HOW_REFITTED:
        raise Misused(f'"{how}" is not a way to be refitted; say one of: {", ".join(HOW_REFITTED)}.')
    now = archive.now()
    with archive.step(f"{tag.number} refitted{f', {how}' if how else ''}"):
        event_id = events.add_event(
            archive.store,
            tag.tag_id,
            "refitted",
            at or now,
            now,
            end=_end_of(tag, end),
            how=how,
            note=note,
            by_whom=by_whom,
            is_day_only=is_day_only,
        )
    return events.get_event(archive.store, event_id)


def write_line(
    archive: Archive,
    tag: Tag,
    kind: str,
    *,
    end: EndLetter | None = None,
    note: str = "",
    bag: str = "",
    by_whom: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write down what else happened to a thing: capped, cut, broken, measured, sent out, came back, and so on.

    "capped" is kept with the end too, "bagged" with the bag; "uncapped" says that the cap is back.

    Raises
    ------
    Misused
        If `kind` is none of `HAPPENINGS`, or nothing says what was measured.
    """
    if kind not in HAPPENINGS:
        raise Misused(f'"{kind}" is nothing the log knows; say one of: {", ".join(HAPPENINGS)}.')
    if kind in _WANTS_WORDS and not note.strip():
        raise Misused(f"Say what was {_WANTS_WORDS[kind]}.")
    if kind == "bagged" and not bag:
        raise Misused(f"Say which bag: asfound event {tag.number} bagged --bag B4")
    now = archive.now()
    with archive.step(f"{tag.number} {kind}"):
        bag = _note_bag(archive, tag, bag)
        if kind == "capped":
            _cap_ends(archive, tag, end, note)
        if kind in (TAPE_LOST, TAPE_BACK):
            _tape_ends(archive, tag, end, is_lost=kind == TAPE_LOST)
        event_id = events.add_event(
            archive.store,
            tag.tag_id,
            kind,
            at or now,
            now,
            is_day_only=is_day_only,
            end=end or "",
            bag=bag,
            note=note,
            by_whom=by_whom,
        )
    return get_line(archive, event_id)


def write_drained(
    archive: Archive,
    fluid: Drained,
    *,
    tag: Tag | None = None,
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write down a fluid that was let out; `tag` is where it came from, if that has a number."""
    if not fluid.what.strip():
        raise Misused('Say what was drained: asfound drained "engine oil" --amount "7.5 l" --into C2')
    said, step = asdict(fluid), f"{fluid.what} drained"
    return write_told(archive, step, "drained", said, tag=tag, at=at, is_day_only=is_day_only)


def write_told(
    archive: Archive,
    step: str,
    kind: str,
    words: Mapping[str, Any],
    *,
    tag: Tag | None = None,
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write one line, of a thing or of the job as a whole, as a step of its own; `words` by the columns of the log."""
    now = archive.now()
    tag_id, job_id = tag.tag_id if tag else None, archive.job.job_id
    with archive.step(step):
        event_id = events.add_event(
            archive.store, tag_id, kind, at or now, now, job_id=job_id, is_day_only=is_day_only, **words
        )
    return get_line(archive, event_id)


def strike(archive: Archive, line: LogLine, why: str = "") -> None:
    """Say that a line of the log is not so: a new line that takes it back; both stay to be read.

    Raises
    ------
    Misused
        If it is struck out already.
    """
    if line.is_struck:
        raise Misused(f"Line {line.event_id} is struck out already; see: asfound log")
    now = archive.now()
    with archive.step(f"line {line.event_id} of the log struck out"):
        events.add_event(
            archive.store,
            line.tag_id,
            NOT_SO,
            now,
            now,
            job_id=archive.job.job_id,
            strikes=line.event_id,
            note=why,
        )


def list_events(archive: Archive) -> list[Event]:
    """What came off and went back, in the order in which it happened."""
    return events.list_events(archive.store, archive.job.job_id)


def list_lines(archive: Archive, tag: Tag | None = None) -> list[LogLine]:
    """Every line of the log, or those of one thing, in the order in which things happened."""
    if tag is not None:
        return events.find_lines(archive.store, tag.tag_id)
    return events.list_lines(archive.store, archive.job.job_id)


def get_line(archive: Archive, event_id: int) -> LogLine:
    """A line by the number that the log shows."""
    line = events.find_line(archive.store, archive.job.job_id, event_id)
    if line is None:
        raise NotFound(f"The log has no line {event_id}. See its numbers with: asfound log")
    return line


def oddity(archive: Archive, tag: Tag, kind: str) -> str:
    """What is odd about writing this down now, to be said beside it; empty when nothing is."""
    known = events.find_events(archive.store, tag.tag_id)
    last = known[-1] if known else None
    if kind == "off" and last is not None and last.kind == "off":
        return f"{tag.number} was off already, since {last.at:%Y-%m-%d}; the first time counts for its pictures."
    if kind == "refitted" and not any(event.kind == "off" for event in known):
        return f"{tag.number} was never written down as off; if it was, say when: asfound off {tag.number} --at DAY"
    return ""


def time_oddity(archive: Archive, tag: Tag, kind: str, at: datetime | None) -> str:
    """What is odd about the time that was said; empty when nothing is, or none was said. Asked before it is written."""
    if at is None:
        return ""
    off = [event.at for event in events.find_events(archive.store, tag.tag_id) if event.kind == "off"]
    if kind == "refitted" and off and at < max(off):
        last_off = max(off).astimezone(ZoneInfo(archive.job.zone))
        return f"{tag.number} came off on {last_off:%Y-%m-%d %H:%M}, after this. If that was a slip: asfound undo"
    known = list_pictures(archive.store, archive.job.job_id)
    taken = [one.taken_utc_s for one in known if one.taken_utc_s is not None and one.time_doubt is None]
    first = min(taken, default=archive.job.created_at.timestamp())
    if first - at.timestamp() > LONG_BEFORE_S:
        return f"{at:%Y-%m-%d} is more than a year before this job began. If that was a slip: asfound undo"
    return ""


@kept
def off_times_s(archive: Archive) -> Mapping[int, float]:
    """Tag to the moment it first came off, as Unix seconds; tags still on are left out."""
    return first_off_s(list_events(archive))


def _cap_ends(archive: Archive, tag: Tag, end: EndLetter | None, what_with: str) -> None:
    letters: tuple[EndLetter, ...] = (end,) if end else ("A", "B") if tag.ends == 2 else ("A",)
    for letter in letters:
        tags.change_end(archive.store, tag.tag_id, letter, capped=True)
        if what_with:
            tags.change_end(archive.store, tag.tag_id, letter, capped_with=what_with)


def _tape_ends(archive: Archive, tag: Tag, end: EndLetter | None, *, is_lost: bool) -> None:
    """One end's tape is lost or back; without an end it is that of a thing with one end, or of both."""
    letters: tuple[EndLetter, ...] = (end,) if end else ("A", "B") if tag.ends == 2 else ("A",)
    for letter in letters:
        tags.change_end(archive.store, tag.tag_id, letter, tape_lost=is_lost)


def _end_of(tag: Tag, end: EndLetter | None) -> str:
    """The end as the log keeps it: a thing with one end has come off whole."""
    return end or "" if tag.ends == 2 else ""


def _note_bag(archive: Archive, tag: Tag, typed: str) -> str:
    """The bag's label as it is kept, the bag itself made and linked; empty when none was said."""
    if not typed.strip():
        return ""
    label = bag_actions.meant_label(archive, typed)
    if label != BACK_IN_PLACE:
        bag_id = bags.save_bag(archive.store, archive.job.job_id, label)
        bags.link_tag(archive.store, bag_id, tag.tag_id)
        label = dict(bags.list_labels(archive.store, archive.job.job_id))[bag_id]
    return label
