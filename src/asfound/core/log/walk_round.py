"""The walk round: pictures to take before anything comes off, and what the record lacks of them.

The list is the table `data/walk_round.csv`; a person adds items of their own. Common practice, no source.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import lru_cache
from importlib import resources

from asfound.core.log.record import Record
from asfound.model.log import Gap, GapKind
from asfound.model.walk import WalkItem, WalkStanding, WalkState

WHOLE = "walk round"
"""What a gap is about when no item was answered yet."""


@lru_cache
def listed_items() -> tuple[WalkItem, ...]:
    """The items that come with the program, in the order of a walk round."""
    table = resources.files("asfound.core.log.data").joinpath("walk_round.csv").read_text(encoding="utf-8")
    return tuple(
        WalkItem(row["key"], row["name"], row["look for"]) for row in csv.DictReader(table.splitlines(), delimiter=";")
    )


def state_of(*, in_time: bool, pictures: bool, not_here: bool, went_out: bool) -> WalkState:
    """How an item stands.

    Parameters
    ----------
    in_time : bool
        Whether one of its pictures may be from before the lift out.
    pictures : bool
        Whether it has any.
    went_out : bool
        Whether the engine has been lifted out.
    """
    if in_time:
        return "pictured"
    if not_here:
        return "not here"
    if pictures:
        return "late"
    return "lost" if went_out else "open"


def find_walk_gaps(record: Record) -> Iterator[Gap]:
    """Items that nothing answers: one gap for each, or one for all while none was answered.

    A record that holds nothing yet lacks nothing.
    """
    standings = record.walk
    open_ones = [one for one in standings if not one.is_answered]
    if not open_ones or record.is_empty:
        return
    if len(open_ones) == len(standings) and not any(one.files for one in standings):
        yield _gap(WHOLE, _none_taken(standings), mendable=standings[0].state == "open")
        return
    for one in open_ones:
        yield _gap(one.item.name, _why(one), mendable=one.state == "open")


def _none_taken(standings: tuple[WalkStanding, ...]) -> str:
    names = ", ".join(one.item.name for one in standings)
    if standings[0].state == "open":
        return f"No picture is named for the walk round. It can still be photographed until lift out: {names}."
    return (
        "No picture was named for the walk round before lift out. Early photos and clips may show some of it; name "
        f"them: {names}."
    )


def _why(one: WalkStanding) -> str:
    named = f"{one.item.name[0].upper()}{one.item.name[1:]}"
    if one.state == "open":
        return f"{named}: no picture yet. It can still be photographed until lift out."
    if one.state == "late":
        shown = ", ".join(one.files)
        return f"{named}: photographed only after lift out ({shown}), which does not show how it was found."
    return f"{named}: not photographed before lift out. How it was is lost, unless an early photo or clip shows it."


def _gap(thing: str, why: str, *, mendable: bool) -> Gap:
    return Gap(GapKind.WALK_ROUND, why, thing=thing, mendable=mendable)
