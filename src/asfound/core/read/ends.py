"""Which end of a thing a number was read on. Tape shows the number alone; the place tells the end, as far as it can."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from asfound.model.tags import EndLetter


def ends_by_spot(
    ends: int, pinned: Mapping[int, Collection[EndLetter]], read_in: Sequence[int]
) -> dict[int, tuple[EndLetter, bool]]:
    """Tell the end of one thing's number in each spot where it was read.

    A spot in which one end is pinned shows that end. The letters that are pinned nowhere go to the other spots, in
    their order, unless there are more such spots than letters: a number seen in passing would get a letter not its own.

    Parameters
    ----------
    ends : int
        1 or 2.
    pinned : mapping of spot to ends
        Ends that a person has pinned in each spot.
    read_in : sequence of int
        Spots in which the number was read, the first that was photographed first.

    Returns
    -------
    dict of spot to (end, certain)
        `certain` is false where a free letter was given. Spots that are left out cannot be told.

    Examples
    --------
    >>> ends_by_spot(2, {4: ["A"]}, [4, 9])
    {4: ('A', True), 9: ('B', False)}
    """
    if ends == 1:
        return {spot: ("A", True) for spot in read_in}
    told: dict[int, tuple[EndLetter, bool]] = {}
    for spot in read_in:
        here = set(pinned.get(spot, ()))
        if len(here) == 1:
            told[spot] = (here.pop(), True)
    taken = {end for here in pinned.values() for end in here}
    letters: tuple[EndLetter, ...] = ("A", "B")
    free = [letter for letter in letters if letter not in taken]
    open_spots = [spot for spot in dict.fromkeys(read_in) if not pinned.get(spot)]
    if len(open_spots) <= len(free):
        told |= {spot: (letter, False) for spot, letter in zip(open_spots, free, strict=False)}
    return told
