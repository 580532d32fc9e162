"""Three holds, before lift out, lift in and first start: each is a short list of what the record says is open.

A hold never says that something is safe, or may go on. An empty list means only that nothing is known to be open.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from asfound.core.log.fluids import FluidNote
from asfound.core.log.looks import look_words
from asfound.core.log.order import Standing, find_standings, find_tight_too_soon
from asfound.core.log.record import Record
from asfound.core.refit.engine_ends import Place, find_sides, said_places
from asfound.core.refit.fit_next import find_not_tight
from asfound.core.refit.left_over import CountedOut, find_left_over
from asfound.core.refit.steps import HoldPoint, Step
from asfound.core.refit.values import ValueStanding
from asfound.model.log import LogLine
from asfound.model.tags import LINE_KINDS, Side, Tag

LOOK_YOURSELF = (
    "This is only what the record knows. Look for yourself, have a second person look, and follow the service manual, "
    "local law and licensed practice."
)


@dataclass(frozen=True, slots=True)
class HoldLine:
    """One thing that is open at a hold.

    Attributes
    ----------
    why : str
        One sentence that names the thing and the next move.
    is_sure : bool
        False when the record cannot tell, and somebody must look.
    snag : str
        What the snag is called by that it is about; empty for none.
    fluid : str
        The fluid that it is about; empty for none.
    """

    why: str
    tag_id: int | None = None
    bag: str | None = None
    is_sure: bool = True
    snag: str = ""
    fluid: str = ""


@dataclass(frozen=True, slots=True)
class HoldCheck:
    """What is open at a hold, in the order in which to take it up, and the words that go with every such list."""

    point: HoldPoint
    lines: tuple[HoldLine, ...]
    words: str = LOOK_YOURSELF


def check_before_lift_out(record: Record, lifted_out_at: datetime | None = None) -> HoldCheck:
    """Every tag with an engine end is off; what is not comes first, what nobody can tell after it.

    What came off and is back on is told in one line, for the lift may be over; it is left out when it was off at the
    end of the day of `lifted_out_at`, the aware time at which somebody looked at this hold.

    Left out are only tags of which the person said of all ends that they leave with the engine, or of all that they
    stay behind; what was said of a place at one thing holds for it at another. A guess from the words of a place never
    takes a tag off the list: it only says which are sure to hold the engine.
    """
    places = said_places(record.ends)
    # Of many an event no more than the day is known, and such a one is written down as the day's last minute.
    until = lifted_out_at.replace(hour=23, minute=59, second=59) if lifted_out_at else None
    at_lift = find_standings(one for one in record.events if until is not None and one.at <= until)
    found = [(tag, line) for tag in record.in_order if (line := _holds_engine(record, tag, places))]
    lines = [line for tag, line in found if not record.standing(tag).is_refitted]
    lines += _walk_lines(record)
    back = [tag for tag, _line in found if record.standing(tag).is_refitted and not _was_off(tag, at_lift)]
    return HoldCheck(
        HoldPoint.LIFT_OUT, (*sorted(lines, key=lambda line: not line.is_sure), *_back_on_lines(record, back))
    )


def check_before_lift_in(
    record: Record,
    steps: Sequence[Step] = (),
    *,
    counted_out: Iterable[CountedOut] = (),
    open_snags: Mapping[str, str] | None = None,
    values: Iterable[ValueStanding] = (),
    away: Iterable[tuple[str, int | None]] = (),
) -> HoldCheck:
    """What goes on before the lift and is not on, what is away, values, snags, bags and what was counted out.

    Parameters
    ----------
    steps : sequence of Step
        The order of refitting; what stands before its hold before lift in belongs on the engine by then.
    open_snags : mapping of str to str
        What each is called by, to what it is in the person's words.
    away : iterable of (str, int or None)
        What was sent out and is not back, in words, with its tag where it has one.
    """
    before = steps[: steps.index(HoldPoint.LIFT_IN)] if HoldPoint.LIFT_IN in steps else ()
    lines = [
        HoldLine(f"{record.label(tag)} goes on before the lift and is off: refit it, or move it.", tag.tag_id)
        for tag in record.in_order
        if tag.tag_id in before and record.standing(tag).is_off
    ]
    lines += _away_lines(away)
    lines += _value_lines(record, (one for one in values if one.value.tag_id is None or one.value.tag_id in before))
    lines += _snag_lines(open_snags or {})
    lines += _left_over_lines(record, counted_out, tags=False)
    return HoldCheck(HoldPoint.LIFT_IN, tuple(lines))


def check_before_first_start(
    record: Record,
    *,
    counted_out: Iterable[CountedOut] = (),
    open_snags: Mapping[str, str] | None = None,
    not_right: Iterable[LogLine] = (),
    fluids: Iterable[FluidNote] = (),
    values: Iterable[ValueStanding] = (),
    away: Iterable[tuple[str, int | None]] = (),
    not_renewed: Mapping[int, str] | None = None,
) -> HoldCheck:
    """Fluids, what is away or left over, not tight, tightened too soon, not called right, stood open; snags.

    Parameters
    ----------
    not_renewed : mapping of int to str
        Tags that were to be replaced, cut or broken, with which of these, and of which nothing says that it was done.
    not_right : iterable of LogLine
        What was called wrong, or could not be told, when it was looked over, and still stands so.
    """
    lines = [HoldLine(note.why, is_sure=note.is_sure, fluid=note.fluid) for note in fluids]
    lines += _away_lines(away)
    lines += _left_over_lines(record, counted_out)
    lines += _not_tight_lines(record)
    lines += _value_lines(record, values)
    lines += _not_renewed_lines(record, not_renewed or {})
    lines += _too_soon_lines(record)
    lines += _look_lines(record, not_right)
    lines += _open_line_lines(record)
    lines += _snag_lines(open_snags or {})
    return HoldCheck(HoldPoint.FIRST_START, tuple(lines))


def _holds_engine(record: Record, tag: Tag, places: Mapping[Place, Side]) -> HoldLine | None:
    """The line for a tag that may still hold the engine; None when it is off, or by the person's word cannot."""
    if record.standing(tag).is_off:
        return None
    sides = find_sides([record.end(tag, letter) for letter in record.letters(tag)], places)
    if sides.are_said and len(sides.known) == 1:
        return None
    named = record.label(tag)
    if sides.known == {"engine", "stays"} or tag.kind == "mount":
        return HoldLine(
            f"{named} holds the engine and is not off: take it off, or write down that it is off.", tag.tag_id
        )
    say = " and ".join(f"--side-{letter.lower()}" for letter in record.letters(tag) if not record.end(tag, letter).side)
    why = (
        f"{named} is not off, and it is not written down whether it holds the engine: look at its ends, then enter "
        f"engine or stays with {say} of: asfound tag {_typed(tag)}."
    )
    return HoldLine(why, tag.tag_id, is_sure=False)


def _walk_lines(record: Record) -> Iterator[HoldLine]:
    """What of the walk round nobody will be able to photograph once the engine is out."""
    names = [one.item.name for one in record.walk if one.state == "open"]
    if names:
        why = f"Not photographed on the walk round: {', '.join(names)}. After the lift out it is too late: asfound walk"
        yield HoldLine(why, is_sure=False)


def _was_off(tag: Tag, standings: Mapping[int, Standing]) -> bool:
    return tag.tag_id in standings and standings[tag.tag_id].is_off


def _back_on_lines(record: Record, back: Sequence[Tag]) -> Iterator[HoldLine]:
    """What may hold the engine again, in one line: the record cannot tell whether the lift is over."""
    if len(back) == 1:
        why = f"{record.label(back[0])} came off and is back on: if the engine is still to come out, take it off again."
        yield HoldLine(why, back[0].tag_id, is_sure=False)
    elif back:
        named = ", ".join(map(_typed, back))
        why = (
            f"{len(back)} things came off and are back on: if the engine is still to come out, take them off again. "
            f"They are {named}."
        )
        yield HoldLine(why, is_sure=False)


def _typed(tag: Tag) -> str:
    return tag.number if tag.order == 1 else f"{tag.number}.{tag.order}"


def _left_over_lines(record: Record, counted_out: Iterable[CountedOut], *, tags: bool = True) -> list[HoldLine]:
    left = find_left_over(record, counted_out)
    return [HoldLine(one.why, one.tag_id, one.bag) for one in left if tags or one.kind != "off"]


def _not_tight_lines(record: Record) -> Iterator[HoldLine]:
    for not_tight in find_not_tight((tag.tag_id for tag in record.in_order), record.standings):
        named = record.label(record.by_id[not_tight.tag_id])
        if not_tight.state == "by hand":
            why = f"{named} is fitted by hand only: tighten it as the service manual says."
            yield HoldLine(why, not_tight.tag_id)
        elif not_tight.state == "not said":
            why = f"{named} is refitted but not recorded as tight: check it."
            yield HoldLine(why, not_tight.tag_id, is_sure=False)


def _too_soon_lines(record: Record) -> Iterator[HoldLine]:
    rules = [rule for rule in record.fit_after if set(rule) <= record.by_id.keys()]
    for later, earlier in find_tight_too_soon(rules, record.standings):
        first = record.label(record.by_id[earlier])
        why = f"{record.label(record.by_id[later])} was tightened before {first}: look at it again once that is tight."
        yield HoldLine(why, later)


def _open_line_lines(record: Record) -> Iterator[HoldLine]:
    for tag in record.in_order:
        for letter in record.letters(tag):
            if tag.kind in LINE_KINDS and record.standing(tag).came_off and record.end(tag, letter).capped is False:
                why = f"End {letter} of {record.label(tag)} stood open while it was off: look inside for dirt."
                yield HoldLine(why, tag.tag_id, is_sure=False)


def _not_renewed_lines(record: Record, not_renewed: Mapping[int, str]) -> Iterator[HoldLine]:
    for tag_id, what in not_renewed.items():
        if tag_id in record.by_id and record.standing(record.by_id[tag_id]).is_refitted:
            named = record.label(record.by_id[tag_id])
            why = f"{named} is on and was {what}, and nothing says that it was repaired or is a new part: look at it."
            yield HoldLine(why, tag_id, is_sure=False)


def _away_lines(away: Iterable[tuple[str, int | None]]) -> Iterator[HoldLine]:
    for words, tag_id in away:
        yield HoldLine(f"Not back: {words}. Get it back, then write it down: asfound back.", tag_id)


def _value_lines(record: Record, values: Iterable[ValueStanding]) -> Iterator[HoldLine]:
    for one in values:
        if not one.is_final:
            value = one.value
            named = record.label(record.by_id[value.tag_id]) if value.tag_id in record.by_id else value.thing
            why = f"{named}, {value.what}: {one.words}. Next: as the service manual says, then write it down."
            yield HoldLine(why, value.tag_id)


def _look_lines(record: Record, not_right: Iterable[LogLine]) -> Iterator[HoldLine]:
    for line in not_right:
        if line.tag_id in record.by_id:
            end = f" end {line.end}" if line.end else ""
            mend = "fix it, then look again" if line.how == "wrong" else "look again, closer or in better light"
            why = f"{record.label(record.by_id[line.tag_id])}{end} was {look_words(line)}. Next: {mend}."
            yield HoldLine(why, line.tag_id, is_sure=line.how == "wrong")


def _snag_lines(open_snags: Mapping[str, str]) -> Iterator[HoldLine]:
    for label, what in open_snags.items():
        yield HoldLine(f"Snag still open: {what.strip().rstrip('.')}.", snag=label)
