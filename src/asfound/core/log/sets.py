"""Sets of like parts under one number: caps 1 to 5, lifters 1 to 8, each in its position and facing one way."""

from __future__ import annotations

import re
from collections.abc import Iterable

from asfound.core.pins.numbering import sort_key
from asfound.errors import Misused
from asfound.model.purchases import SetMember

MOST_MEMBERS = 200


def read_positions(text: str) -> tuple[str, ...]:
    """Positions as typed: "1-8", "1 to 5", "1,3,5", "front, rear".

    Raises
    ------
    Misused
        If there is none, a range runs backwards, or there are more than a machine has.
    """
    found: list[str] = []
    for part in filter(None, (part.strip() for part in text.split(","))):
        ends = re.fullmatch(r"(\d{1,4})\s*(?:-|–|to)\s*(\d{1,4})", part)
        if ends and int(ends[1]) > int(ends[2]):
            raise Misused(f'"{part}" runs backwards; say the lower position first: {ends[2]}-{ends[1]}.')
        found += map(str, range(int(ends[1]), int(ends[2]) + 1)) if ends else [part]
    if not found or len(found) > MOST_MEMBERS:
        raise Misused('Say which positions, such as "1-8" or "front, rear".')
    return tuple(dict.fromkeys(found))


def set_words(members: Iterable[SetMember]) -> str:
    """A set in one line, like members together: "1 to 8 in their positions: 1, 2, 4 to 8 faced forward; 3 scored"."""
    known = sorted(members, key=lambda one: sort_key(one.position))
    if not known:
        return ""
    alike: dict[str, list[str]] = {}
    for one in known:
        said = ", ".join(filter(None, (f"faced {one.faced}" if one.faced else "", one.note)))
        alike.setdefault(said, []).append(one.position)
    if len(alike) == 1:
        said = next(iter(alike))
        every = join_positions([one.position for one in known])
        return f"{len(known)}, each back in its own position: {every}{f', all {said}' if said else ''}"
    told = [f"{join_positions(positions)} {said}" for said, positions in alike.items() if said]
    head = f"{len(known)}, each back in its own position: {join_positions([one.position for one in known])}"
    return "; ".join((head, *told))


def join_positions(positions: Iterable[str]) -> str:
    """Positions with runs drawn together: "1, 2, 4 to 8"."""
    parts: list[list[str]] = []
    for one in positions:
        last = parts[-1][-1] if parts else ""
        if last.isdecimal() and one.isdecimal() and int(one) == int(last) + 1:
            parts[-1].append(one)
        else:
            parts.append([one])
    return ", ".join(f"{part[0]} to {part[-1]}" if len(part) > 2 else ", ".join(part) for part in parts)
