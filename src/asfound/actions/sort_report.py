"""What a sort did, as it is told to a person."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SortReport:
    """What a sort did: pictures looked at, spots and pairs that are new, tag ends whose pins were carried."""

    examined: int = 0
    new_spots: int = 0
    new_pairs: int = 0
    carried_ends: int = 0
