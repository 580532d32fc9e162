"""Which end of a thing a number was read on. Tape shows the number alone; the place tells the end, as far as it can."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from asfound.model.tags import EndLetter

LETTERS: tuple[EndLetter, EndLetter] = ("A", "B")


def possible_ends(ends: int, pinned: Mapping[int, Collection[EndLetter]], place: int) -> tuple[EndLetter, ...]:
    """The ends of a thing that its number, read at a place, can stand for.

    A place where one end is pinned shows that end. Where none is pinned, either end may hang; which letter it has is
    the person's to say, for no more than the number is on the tape. A thing whose ends are all pinned elsewhere was
    seen in passing.

    Parameters
    ----------
    ends : int
        1 or 2.
    pinned : mapping of place to ends
        Ends that a person has pinned, by place: a spot, or a picture that is in none.
    place : int
        Where the number was read.

    Returns
    -------
    tuple of ends
        One when it is told, two when it must be asked, the likelier first; none when nothing speaks for either.

    Examples
    --------
    >>> possible_ends(2, {4: ["A"]}, 4), possible_ends(2, {4: ["A"]}, 9), possible_ends(2, {4: "A", 5: "B"}, 9)
    (('A',), ('B', 'A'), ())
    """
    if ends == 1:
        return ("A",)
    here = set(pinned.get(place, ()))
    if here:
        return tuple(here) if len(here) == 1 else ()
    taken = {end for some in pinned.values() for end in some}
    free = [letter for letter in LETTERS if letter not in taken]
    return (*free, *(letter for letter in LETTERS if letter in taken)) if free else ()
