"""Where the fasteners are: the bag that a part of a line names, or their own holes."""

from __future__ import annotations

import re
from collections.abc import Sequence

from asfound.core.typed import said as kinds
from asfound.core.typed import vocabulary as words
from asfound.core.typed.heads import Head
from asfound.core.typed.said import Unread
from asfound.core.typed.tokens import Token


def bag_of(tokens: Sequence[Token]) -> str:
    """The label of the one bag that is named, or that the fasteners went back into place; empty for neither."""
    bags = [one for one in tokens if one.code == "G"]
    if len(bags) > 1:
        raise Unread("Two bags stand in one sentence; say them apart.")
    if bags:
        return bags[0].of[0]
    return kinds.BACK_IN_PLACE if _in_place_at(tokens) is not None else ""


def _in_place_at(tokens: Sequence[Token]) -> tuple[int, int] | None:
    """Where it is said that the fasteners went back into their own holes."""
    codes = " ".join(one.code for one in tokens)
    found = re.search(
        r"(?:^| )(?P<all>(?:(?:bolts|screws|nuts|fasteners|P|studs|clips|them) )"
        r"(?:(?:put|screwed|left|are|went|go) )*(?:back )?(?:in|into) (?:(?:own|original|place|their|same) ?)*(?:holes?|place)?"
        r"|(?:(?:bolts|screws|nuts|fasteners|P|studs|clips) )(?:put |left )?back(?: in)?"
        r"|(?<=off )(?:put )?back in (?:place|(?:own|their own|original) holes?)|(?:in|into|back in) (?:their )?own holes?)$",
        codes,
    )
    if found is None:
        return None
    start = codes[: found.start("all")].count(" ")
    return start, len(tokens)


def without_bag(tokens: Sequence[Token]) -> list[Token]:
    """The tokens without the bag and the word that leads to it."""
    place = _in_place_at(tokens)
    if place is not None:
        return list(tokens[: place[0]])
    left: list[Token] = []
    for token in tokens:
        if token.code == "G":
            while left and left[-1].code in words.BETWEEN:
                left.pop()
            if (
                left
                and left[-1].code in ("bagged", "put", "stored", "kept", "placed", "go", "went")
                and any(one.code == "T" for one in left)
                and len(left) > 2
            ):
                left.pop()
        else:
            left.append(token)
    return left


def group_of(head: Head, group: dict[str, str]) -> str:
    """The group in a bag that a count is of."""
    what = group.get("what", "")
    if not what and (pieces := head.of("P")):
        what = " ".join(pieces.split()[1:])
    return "" if what in ("pcs", "pieces", "piece") else what


def in_count(text: str) -> str:
    """A count in figures, or that it is all."""
    text = text.casefold()
    if text in ("all", "everything", "complete"):
        return kinds.ALL
    first = str(words.SPELLED.get(text.split()[0], text.split()[0]))
    if not first.isdecimal():
        raise Unread(f'"{text}" is no number of pieces.')
    return first
