"""Gaps that the log tells of: fluids out, what is away, what broke, and what is to be replaced and not on order."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.core.log.away import find_away, find_broken
from asfound.core.log.fluids import Fluid, find_fluids
from asfound.core.log.record import Record
from asfound.core.log.to_buy import WORN
from asfound.model.log import Gap, GapKind, LogLine


def find_fluid_gaps(record: Record) -> Iterator[Gap]:
    """Fluids that were drained and not filled, and those of which nobody wrote how much came out, or where it is."""
    for fluid in find_fluids(record.lines):
        lacking = _lacking_of_fluid(fluid)
        if lacking:
            yield _of_fluid(GapKind.DRAINED_UNSAID, fluid, _unsaid(fluid, lacking), mendable=fluid.is_open)
        if fluid.is_open:
            out = f" ({fluid.out_words})" if fluid.out_words else ""
            why = (
                f"{fluid.name} was drained{out} and nothing says that it was filled: fill what the service manual "
                "names and write it down, or say why it is left out."
            )
            yield _of_fluid(GapKind.NOT_FILLED, fluid, why)


def find_away_gaps(record: Record) -> Iterator[Gap]:
    """What was sent out and is not back."""
    for line in find_away(record.lines):
        tag = record.by_id.get(line.tag_id or 0)
        to = f" to {line.by_whom}" if line.by_whom else ""
        promised = f", promised for {line.promised}," if line.promised else ""
        named = record.label(tag) if tag else line.what
        why = (
            f"{named} was sent out{to} on {line.at:%Y-%m-%d}{promised} and nothing says that it is back: ask for it, "
            "or write down that it came back."
        )
        if tag:
            yield Gap(GapKind.NOT_BACK, why, number=tag.number, tag_id=tag.tag_id)
        else:
            yield Gap(GapKind.NOT_BACK, why, thing=line.what)


def find_unrepaired(record: Record) -> Iterator[Gap]:
    """What was cut or broken, and of which nothing says that it was repaired or is a new part."""
    for tag_id, line in find_broken(record.lines).items():
        tag = record.by_id.get(tag_id)
        if tag is not None:
            what = f" ({line.note.strip().rstrip('.')})" if line.note.strip() else ""
            why = (
                f"{record.label(tag)} was {line.kind}{f' at end {line.end}' if line.end else ''} on "
                f"{line.at:%Y-%m-%d}{what} and nothing says that it was repaired or is a new part: repair or renew it, "
                "then write that down."
            )
            yield Gap(GapKind.NOT_REPAIRED, why, number=tag.number, tag_id=tag_id)


def find_unbought(record: Record) -> Iterator[Gap]:
    """What is to be replaced, and of which nothing says that a new part is ordered, here, or on."""
    for item in record.to_buy:
        tag = record.by_id.get(item.tag_id or 0)
        if tag is not None and WORN in item.why and item.state == "to order":
            why = (
                f"{record.label(tag)} is to be replaced and nothing says that a new one is ordered: order it, or write "
                "down that it is here."
            )
            yield Gap(GapKind.NOT_BOUGHT, why, number=tag.number, tag_id=tag.tag_id)


def _lacking_of_fluid(fluid: Fluid) -> list[str]:
    """What no draining says, nor a later one of the same fluid, which is taken to say it better."""
    lacking = {"how much": _is_lacking([line.amount for line in fluid.drained])}
    lacking["into which can"] = _is_lacking([line.container for line in fluid.drained])
    return [what for what, is_lacking in lacking.items() if is_lacking]


def _is_lacking(said: list[str]) -> bool:
    return bool(said) and not said[-1].strip()


def _unsaid(fluid: Fluid, lacking: list[str]) -> str:
    day = _day(fluid.drained[-1])
    begins = f"{fluid.name} was drained on {day} and nobody wrote {' and '.join(lacking)}"
    if not fluid.is_open:
        return f"{begins}: it is done with, so look at the level as the service manual says."
    return f"{begins}: measure what is in its can, label the can, and write it down."


def _day(line: LogLine) -> str:
    return f"{line.at:%Y-%m-%d}"


def _of_fluid(kind: GapKind, fluid: Fluid, why: str, *, mendable: bool = True) -> Gap:
    return Gap(kind, why, thing=fluid.name, mendable=mendable)
