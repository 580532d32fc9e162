"""A line of the log from what a person types in one go: read against what the job has, then written in one step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from asfound.actions import away, bag_counts, fluids, log, resolve, snags, to_buy
from asfound.actions.archive import Archive
from asfound.actions.fit_oddity import oddity
from asfound.actions.lift import write_lift
from asfound.actions.resolve import TagRef
from asfound.actions.tag import list_tags
from asfound.actions.values import Reached, reach
from asfound.core.capture.clock_changes import place_typed
from asfound.core.log.said_when import SaidWhen, when_words
from asfound.core.refit.steps import Lift
from asfound.core.typed import said as kinds
from asfound.core.typed.reader import EXAMPLE as EXAMPLE
from asfound.core.typed.reader import read_line, said_of
from asfound.core.typed.said import KnownNames, Said
from asfound.core.typed.said import Reading as Reading
from asfound.core.typed.said import ReadLine as ReadLine
from asfound.errors import AskBack, Misused
from asfound.model.log import BLED, FILLED, LEAKS, LEFT_OUT, LIFTED_IN, LIFTED_OUT, LogLine
from asfound.model.tags import LINE_KINDS

TIMED_EXAMPLE = "yesterday 14:20 17 off"


@dataclass(frozen=True, slots=True)
class WrittenWords:
    """What a line wrote.

    Attributes
    ----------
    lines : tuple of LogLine
        In the order in which they were said; of what is kept elsewhere than in the log (a snag, something to buy)
        `event_id` is 0.
    told : str
        What was understood, in one line, and what is odd about it.
    odd : str
        What is odd about it, by itself; empty when nothing is.
    """

    lines: tuple[LogLine, ...]
    told: str
    odd: str = ""


def read_typed(archive: Archive, line: str) -> ReadLine:
    """What a line can mean; nothing is written."""
    now = archive.now().astimezone(ZoneInfo(archive.job.zone)).replace(tzinfo=None)
    return read_line(line, known_names(archive), now)


def write_typed(archive: Archive, line: str) -> WrittenWords:
    """Write down what a line says for certain.

    Raises
    ------
    AskBack
        If it can mean several things, or names a number nobody has; nothing is written then.
    Misused
        If its time is still to come.
    """
    answer = read_typed(archive, line)
    if answer.sure is None:
        raise AskBack(answer.why, [reading_words(one) for one in answer.readings])
    return write_reading(archive, answer.sure)


def read_about(archive: Archive, label: str, line: str) -> ReadLine:
    """What a line can mean where the thing with this label is in hand: of it, unless the line names its own."""
    alone, about = read_typed(archive, line), read_typed(archive, said_of(label, line, archive.now()))
    if alone.sure is None or any(said.tags for said in alone.sure):
        return alone if alone.sure is not None or any(said.tags for way in alone.readings for said in way) else about
    if about.sure is None or about.sure == alone.sure:
        return alone
    return ReadLine(
        (about.sure, alone.sure), f'"{line.strip()}" can be of {label}, or of the whole job. Nothing was written.'
    )


def write_reading(archive: Archive, reading: Reading) -> WrittenWords:
    """Write one reading down, in one step."""
    zone = ZoneInfo(archive.job.zone)
    written: list[LogLine] = []
    odd: list[str] = []
    timed = [(said, _moment(archive, said.when, zone)) for said in reading]
    with archive.step(_step_words(reading)):
        for said, at in timed:
            found: list[TagRef | None] = [resolve.get_tag(archive, label) for label in said.tags]
            for one in found or [None]:
                odd += filter(None, [_oddity(archive, one, said)])
                written.append(_WRITERS.get(said.kind, _write_happening)(archive, one, said, at))
    told = "; ".join(_told(archive, said, at, written) for said, at in timed)
    return WrittenWords(tuple(written), ". ".join([told, *(words.rstrip(".") for words in odd)]), " ".join(odd))


def known_names(archive: Archive) -> KnownNames:
    """What a line can name in this job."""
    tags = list_tags(archive)
    counts: dict[str, int] = {}
    for tag in tags:
        counts[tag.number] = max(counts.get(tag.number, 0), tag.order)
    return KnownNames(
        counts,
        frozenset(bag.label.upper() for bag in bag_counts.list_bags(archive)),
        frozenset(tag.number for tag in tags if tag.kind in LINE_KINDS),
        frozenset(tag.number for tag in tags if tag.ends == 1),
    )


def reading_words(reading: Reading) -> str:
    """A reading in one line, with its times."""
    return "; ".join(
        f"{said.words}, on {when_words(said.when.at, is_day_only=said.when.is_day_only)}" if said.when else said.words
        for said in reading
    )


def _step_words(reading: Reading) -> str:
    return "; ".join(
        " ".join(
            filter(
                None,
                (", ".join(said.tags) or said.bag or said.what, f"{said.kind}{f', {said.how}' if said.how else ''}"),
            )
        )
        for said in reading
    )


def _told(archive: Archive, said: Said, at: datetime | None, written: list[LogLine]) -> str:
    things = "; ".join(_thing(resolve.get_tag(archive, label), label) for label in said.tags)
    bag = next((line.bag for line in written if line.kind == said.kind and line.bag), said.bag)
    shown = replace(said, tags=(), bag=bag).words
    when = f"on {when_words(at, is_day_only=_is_day_only(said, at))}" if at else ""
    return ", ".join(filter(None, (f"{things}: {shown}" if things else shown, when)))


def _thing(ref: TagRef, label: str) -> str:
    return f"{label} {ref.tag.name or ref.tag.kind}"


def _moment(archive: Archive, when: SaidWhen | None, zone: ZoneInfo) -> datetime | None:
    """The typed time with its offset; None for now, and for a day that is today, of which now says more."""
    if when is None:
        return None
    now = archive.now().astimezone(zone)
    if when.is_day_only and when.at.date() == now.date():
        return now if when.part else None
    # The last minute of a day is nobody's typed time; where it was twice either will do.
    at = when.at.replace(tzinfo=zone) if when.is_day_only else place_typed(when.at, zone).astimezone(zone)
    if at > now + timedelta(minutes=1):
        raise Misused(f"{when_words(at)} is still to come; say when it was, such as: {TIMED_EXAMPLE}.")
    return at


def _is_day_only(said: Said, at: datetime | None) -> bool:
    return at is not None and said.when is not None and said.when.is_day_only


def _oddity(archive: Archive, one: TagRef | None, said: Said) -> str:
    if one is None:
        return fluids.fluid_oddity(archive, said.what) if said.kind in (FILLED, BLED) else ""
    if said.kind == "came back":
        return away.back_oddity(archive, one.tag)
    return oddity(archive, one.tag, said.kind)


Writer = Callable[[Archive, "TagRef | None", Said, "datetime | None"], LogLine]


def _write_off(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    assert one is not None
    event = log.mark_off(
        *(archive, one.tag),
        end=one.end,
        bag=said.bag,
        note=said.note,
        by_whom=said.by,
        at=at,
        is_day_only=_is_day_only(said, at),
    )
    return log.get_line(archive, event.event_id)


def _write_refitted(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    assert one is not None
    event = log.mark_refitted(
        *(archive, one.tag),
        end=one.end,
        how=said.how,
        note=said.note,
        by_whom=said.by,
        at=at,
        is_day_only=_is_day_only(said, at),
    )
    return log.get_line(archive, event.event_id)


def _write_reached(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    assert one is not None
    reached = Reached(said.amount, said.what, by_whom=said.by, note=said.note)
    return reach(archive, one.tag, reached, at=at, is_day_only=_is_day_only(said, at))


def _write_measured(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    return (_write_reached if said.amount else _write_happening)(archive, one, said, at)


def _write_happening(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    if one is None:
        raise Misused(f"Say of which number: 17 {said.kind}")
    return log.write_line(
        *(archive, one.tag, said.kind),
        end=one.end,
        note=said.note,
        bag=said.bag,
        by_whom=said.by,
        at=at,
        is_day_only=_is_day_only(said, at),
    )


def _write_drained(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    fluid = log.Drained(said.what, said.amount, said.container, said.looks, said.note, said.by)
    tag = one.tag if one else None
    return log.write_drained(archive, fluid, tag=tag, at=at, is_day_only=_is_day_only(said, at))


def _write_fluid(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    words = fluids.FluidWords(said.what, said.amount, said.grade, said.container, said.by, said.note)
    tag = one.tag if one else None
    return fluids.write_fluid(archive, said.kind, words, tag=tag, at=at, is_day_only=_is_day_only(said, at))


def _write_away(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    about = one.tag if one else said.what
    is_day_only = _is_day_only(said, at)
    if said.kind == "sent out":
        return away.write_sent(
            archive, about, to_whom=said.by, promised=said.promised, note=said.note, at=at, is_day_only=is_day_only
        )
    return away.write_back(archive, about, with_what=said.note, by_whom=said.by, at=at, is_day_only=is_day_only)


def _write_lift(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    lift = Lift.OUT if said.kind == LIFTED_OUT else Lift.IN
    return write_lift(archive, lift, by_whom=said.by, note=said.note, at=at, is_day_only=_is_day_only(said, at))


def _write_count(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    way: Literal["out", "back"] = "back" if said.kind == kinds.COUNTED_BACK else "out"
    is_day_only = _is_day_only(said, at)
    return bag_counts.count(
        archive,
        said.bag,
        way,
        said.amount,
        group=said.what,
        by_whom=said.by,
        note=said.note,
        at=at,
        is_day_only=is_day_only,
    )


def _write_snag(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    bag = bag_counts.get_bag(archive, said.bag) if said.bag else None
    ties = snags.SnagTies(tag=one.tag if one else None, bag=bag)
    is_day_only = _is_day_only(said, at)
    snags.add_snag(archive, said.what, ties, by_whom=said.by, at=at, is_day_only=is_day_only)
    return _beside_log(archive, one, said, at)


def _write_purchase(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    day = f"{at or archive.now():%Y-%m-%d}"
    said_of = {kinds.ORDERED: {"ordered_on": day}, kinds.BOUGHT: {"arrived_on": day}}.get(said.kind, {})
    about: to_buy.About = to_buy.about_part(archive, one.tag, said.what) if one else said.what
    to_buy.note_purchase(archive, about, **said_of)
    return _beside_log(archive, one, said, at)


def _beside_log(archive: Archive, one: TagRef | None, said: Said, at: datetime | None) -> LogLine:
    """What was written elsewhere, as a line that the log does not have."""
    now = archive.now()
    return LogLine(
        event_id=0,
        tag_id=one.tag.tag_id if one else None,
        end=(one.end or "") if one else "",
        kind=said.kind,
        at=at or now,
        is_day_only=_is_day_only(said, at),
        how="",
        bag=said.bag,
        what=said.what,
        amount="",
        container="",
        looks="",
        by_whom=said.by,
        note=said.note,
        strikes=None,
        entered_at=now,
    )


_WRITERS: dict[str, Writer] = {
    "off": _write_off,
    "refitted": _write_refitted,
    "torque": _write_reached,
    "measured": _write_measured,
    "drained": _write_drained,
    **dict.fromkeys((FILLED, BLED, LEAKS, LEFT_OUT), _write_fluid),
    **dict.fromkeys(("sent out", "came back"), _write_away),
    **dict.fromkeys((LIFTED_OUT, LIFTED_IN), _write_lift),
    **dict.fromkeys((kinds.COUNTED_OUT, kinds.COUNTED_BACK), _write_count),
    kinds.SNAG: _write_snag,
    **dict.fromkeys((kinds.BUY, kinds.ORDERED, kinds.BOUGHT), _write_purchase),
}
