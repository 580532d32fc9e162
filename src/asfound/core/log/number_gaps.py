"""Gaps in the numbers: used twice, missing in the run, or readable upside down."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import count

from asfound.core.log.record import Record
from asfound.core.pins.numbering import confusable_numbers, missing_in_run
from asfound.model.log import Gap, GapKind
from asfound.model.tags import Tag


def find_twice_used_numbers(record: Record) -> Iterator[Gap]:
    """Numbers on more than one thing, until all but one of them have a further number of their own."""
    further = _further_numbers(record)
    holders: dict[str, list[Tag]] = {}
    for tag in record.in_order:
        for number in further.get(tag.tag_id) or [tag.number.strip()]:
            holders.setdefault(number, []).append(tag)
    in_use = {tag.number.strip() for tag in record.tags} | set(holders)
    for number, tags in holders.items():
        if len(tags) > 1:
            names = " and ".join(tag.name.strip() or tag.kind for tag in tags)
            why = (
                f"Number {number} is on {len(tags)} things, {names}: keep it on the first, and print "
                f"{_free_number(number, in_use)} for the next."
            )
            yield Gap(GapKind.NUMBER_TWICE, why, number=number)


def find_missing_numbers(record: Record) -> Iterator[Gap]:
    """Numbers that the run skips and of which nobody has said why."""
    used = [tag.number for tag in record.tags] + [number for _tag_id, number in record.aliases]
    for number in missing_in_run(used):
        if number not in record.settled_numbers:
            why = f"Number {number} is skipped: look for its tape, or answer that it was never used."
            yield Gap(GapKind.NUMBER_MISSING, why, number=number)


def find_turned_numbers(record: Record) -> Iterator[Gap]:
    """Numbers in use that read as each other upside down."""
    used = [tag.number for tag in record.tags] + [number for _tag_id, number in record.aliases]
    for number, other in confusable_numbers(used):
        why = (
            f"{number} and {other} look like each other upside down: draw a bar under the number on every tape of both."
        )
        yield Gap(GapKind.UPSIDE_DOWN, why, number=number)


def _further_numbers(record: Record) -> dict[int, list[str]]:
    further: dict[int, list[str]] = {}
    for tag_id, number in sorted(record.aliases):
        further.setdefault(tag_id, []).append(number.strip())
    return further


def _free_number(number: str, in_use: set[str]) -> str:
    return next(free for times in count(1) if (free := number + "x" * times) not in in_use)
