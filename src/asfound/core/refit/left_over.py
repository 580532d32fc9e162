"""What is left over: things still off, bags not counted back, and caps, plugs, rags and tools that are still out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from asfound.core.log.record import BagContents, Record
from asfound.core.words import fold


@dataclass(frozen=True, slots=True)
class CountedOut:
    """Things counted out that must be counted back: caps and plugs in lines, rags in openings, tools.

    Attributes
    ----------
    what : str
        In the plural: "caps and plugs", "rags".
    out : int
    back : int or None
        None when not counted yet.
    where : str
        Where they went, in the person's words.
    """

    what: str
    out: int
    back: int | None = None
    where: str = ""


@dataclass(frozen=True, slots=True)
class LeftOver:
    """One thing that is left over.

    Attributes
    ----------
    kind : {"off", "not counted", "short", "over", "out"}
        A tag that is off; a bag not counted back, of which fewer or more came back than went in; something still out.
    why : str
        One sentence that names the thing and the next move.
    """

    kind: Literal["off", "not counted", "short", "over", "out"]
    why: str
    tag_id: int | None = None
    bag: str | None = None


def find_left_over(record: Record, counted_out: Iterable[CountedOut] = ()) -> list[LeftOver]:
    """Everything that is left over: tags in natural order of their numbers, then bags as given, then the rest.

    An empty list says only that nothing is known to be left over.
    """
    return [*_still_off(record), *_bags_open(record.bags), *_still_out(counted_out)]


def count_caps(record: Record) -> CountedOut:
    """The caps and plugs that the record knows of: one for every end that was capped; none counted back yet."""
    capped = [
        f"{record.label(tag)} end {letter}"
        for tag in record.in_order
        for letter in record.letters(tag)
        if record.end(tag, letter).capped
    ]
    return CountedOut("caps and plugs", len(capped), 0 if not capped else None, ", ".join(capped))


def _still_off(record: Record) -> Iterator[LeftOver]:
    for tag in record.in_order:
        if record.standing(tag).is_off:
            why = f"{record.label(tag)} is still off: refit it, or write down why it stays off."
            yield LeftOver("off", why, tag_id=tag.tag_id)


def _bags_open(bags: Iterable[BagContents]) -> Iterator[LeftOver]:
    for bag in bags:
        if fold(bag.label) == "back in place":
            continue
        if bag.count_back is None:
            out = f"{bag.count_out} went in" if bag.count_out is not None else "what went in was not counted"
            yield LeftOver("not counted", f"Bag {bag.label} is not counted back ({out}): count it.", bag=bag.label)
        elif bag.count_out is not None and bag.count_back != bag.count_out:
            yield _miscounted(bag, bag.count_back - bag.count_out)


def _miscounted(bag: BagContents, over: int) -> LeftOver:
    counts = f"{bag.count_out} out, {bag.count_back} back"
    if over > 0:
        return LeftOver(
            "over", f"Bag {bag.label} has {over} too many ({counts}): find where they belong.", bag=bag.label
        )
    return LeftOver("short", f"Bag {bag.label} is {-over} short ({counts}): look for what is missing.", bag=bag.label)


def _still_out(counted_out: Iterable[CountedOut]) -> Iterator[LeftOver]:
    for count in counted_out:
        if count.back is None or count.back < count.out:
            back = "none counted back yet" if count.back is None else f"{count.back} counted back"
            where = f" ({count.where})" if count.where else ""
            yield LeftOver("out", f"{count.out} {count.what} went out, {back}: look for each of them{where}.")
