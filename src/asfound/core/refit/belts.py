"""Which of several belts goes on before which, from what was said of the order in which they come off."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import pairwise

from asfound.core.words import fold
from asfound.model.tags import Belt

_RANKS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "last": 99}


def belt_pairs(belts: Iterable[Belt]) -> list[tuple[int, int]]:
    """Pairs (later, earlier): the belt that comes off first goes on last. Words that give no rank say nothing."""
    ranks: dict[int, list[int]] = {}
    for belt in belts:
        rank = _rank(belt.comes_off)
        if rank is not None:
            ranks.setdefault(rank, []).append(belt.tag_id)
    return [
        (later, earlier) for low, high in pairwise(sorted(ranks)) for later in ranks[low] for earlier in ranks[high]
    ]


def _rank(said: str) -> int | None:
    words = re.findall(r"[a-z]+|\d+", fold(said))
    named = [_RANKS[word] for word in words if word in _RANKS] + [int(word) for word in words if word.isdigit()]
    return named[0] if len(named) == 1 else None
