"""Contradictions in the order of refitting: rules that wait for each other, and what was tightened too soon."""

from __future__ import annotations

from collections.abc import Iterator

from asfound.core.log.order import find_loops, find_tight_too_soon
from asfound.core.log.record import Record
from asfound.model.log import Gap, GapKind


def find_fit_loops(record: Record) -> Iterator[Gap]:
    """Fit-after rules that chase their own tail."""
    for loop in find_loops(_rules(record)):
        tags = [record.by_id[tag_id] for tag_id in loop]
        way = " and ".join(
            f"{record.label(tag)} is fitted after {before.number}"
            for tag, before in zip(tags, [*tags[1:], tags[0]], strict=True)
        )
        yield Gap(
            GapKind.FIT_LOOP,
            f"{way}: take one of these rules away.",
            number=tags[0].number,
            tag_id=tags[0].tag_id,
            beside=tuple(tag.number for tag in tags[1:]),
        )


def find_tight_too_soon_gaps(record: Record) -> Iterator[Gap]:
    """Things that are tight while what goes before them is off, or fitted by hand only."""
    for later, earlier in find_tight_too_soon(_rules(record), record.standings):
        tag, first = record.by_id[later], record.by_id[earlier]
        state = "still off" if record.standing(first).is_off else "fitted by hand only"
        why = (
            f"{record.label(tag)} is tight, but {record.label(first)}, which goes before it, is {state}: "
            f"tighten {first.number} as the service manual says, then look at {tag.number} again."
        )
        yield Gap(GapKind.TIGHT_TOO_SOON, why, number=tag.number, tag_id=tag.tag_id)


def _rules(record: Record) -> list[tuple[int, int]]:
    """Rules between tags that still exist."""
    return [rule for rule in record.fit_after if set(rule) <= record.by_id.keys()]
