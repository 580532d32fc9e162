"""Pieces of a bag counted out and back, with a line in the log of who counted and when."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.bags import BagWords, GroupWords, get_bag, list_bags, save_bag
from asfound.core.typed.said import ALL
from asfound.core.words import plain_words
from asfound.errors import Misused
from asfound.model.log import COUNTED_BACK, COUNTED_OUT, Bag, BagGroup, LogLine

__all__ = ["count", "get_bag", "list_bags", "meant_group"]


def count(
    archive: Archive,
    label: str,
    way: Literal["out", "back"],
    pieces: str,
    *,
    group: str = "",
    by_whom: str = "",
    note: str = "",
    at: datetime | None = None,
    is_day_only: bool = False,
) -> LogLine:
    """Write down how many pieces went into a bag (`way` "out") or were found in it again ("back").

    Parameters
    ----------
    pieces : str
        A number, or "all" for as many as went in; where nobody counted those, the bag stays to be counted.

    Raises
    ------
    NotFound, Misused
        If there is no such bag, or nothing says which of several groups is meant.
    """
    bag = get_bag(archive, label)
    one = meant_group(bag, group)
    number = _number(bag, one, pieces)
    sort = one.what if one is not None else group if bag.count_out is None else ""
    step = f"bag {bag.label}: {pieces} counted {way}"
    with archive.step(step):
        if number is None:
            pass  # nobody knows how many "all" are: the bag stays to be counted
        elif sort:
            one_sort = GroupWords(sort, count_out=number) if way == "out" else GroupWords(sort, count_back=number)
            save_bag(archive, bag.label, groups=[one_sort])
        else:
            save_bag(archive, bag.label, BagWords(count_out=number) if way == "out" else BagWords(count_back=number))
        said = {
            "bag": bag.label,
            "what": sort,
            "amount": pieces if number is None else str(number),
            "by_whom": by_whom,
            "note": note if sort or not group else ", ".join(filter(None, (group, note))),
        }
        kind = COUNTED_BACK if way == "back" else COUNTED_OUT
        return log.write_told(archive, step, kind, said, at=at, is_day_only=is_day_only)


def meant_group(bag: Bag, said: str) -> BagGroup | None:
    """The group that is counted: the one named, or the only one; None for a bag without groups.

    Raises
    ------
    Misused
        If a bag has several and nothing says which, or none of them is named so.
    """
    if not bag.groups:
        return None
    if not said and len(bag.groups) == 1:
        return bag.groups[0]
    found = [one for one in bag.groups if set(plain_words(said)) & set(plain_words(one.what))] if said else []
    exact = [one for one in bag.groups if plain_words(one.what) == plain_words(said)] if said else []
    if len(exact or found) == 1:
        return (exact or found)[0]
    names = ", ".join(one.what for one in bag.groups)
    raise Misused(f"Bag {bag.label} holds {names}; say which is counted, with --group or by its name.")


def _number(bag: Bag, group: BagGroup | None, pieces: str) -> int | None:
    if pieces != ALL:
        return int(pieces)
    return group.count_out if group is not None else bag.count_out
