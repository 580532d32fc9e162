"""Which look-alikes may have been put on each other's joints: a question for a person, never a finding.

Two joints near each other that may take each other's part, one of which clearly shows something else than before and
the other at least faintly. Whether each part looks like the other's was tried and tells no more (docs/decisions/0036).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass

from asfound.core.match.compare import JointScore

CLEAR, FAINT = 0.24, 0.15
"""Scores from which a joint clearly, and at least faintly, shows something else than before. Set when scores were
fitted anew (docs/decisions/0036): what was .5 and more before is .24 and more now; the lower one chosen by hand."""
NEAR = 0.3
"""Farther apart than this, in fractions of the picture's diagonal, nobody takes one for the other."""


@dataclass(frozen=True, slots=True)
class Swap:
    """Two pins whose parts might be on each other's joints; `score`, 0 to 1, ranks only."""

    first: Hashable
    second: Hashable
    score: float


def find_swapped(
    joints: Sequence[JointScore],
    are_alike: Callable[[Hashable, Hashable], bool],
    *,
    size_px: tuple[int, int],
    most: int = 1,
) -> list[Swap]:
    """Pairs worth a second look, likeliest first.

    Parameters
    ----------
    joints : sequence of JointScore
        Of one comparison.
    are_alike : callable
        Whether the parts of two keys could be taken for each other.
    size_px : (int, int)
        Width and height of AFTER, for its shape.
    most : int
        Pairs to return at most.
    """
    found = []
    for k, one in enumerate(joints):
        for other in joints[:k]:
            if min(one.score, other.score) < FAINT or max(one.score, other.score) < CLEAR:
                continue
            if _apart(one, other, size_px) <= NEAR and are_alike(other.key, one.key):
                found.append(Swap(other.key, one.key, math.sqrt(one.score * other.score)))
    return sorted(found, key=lambda swap: -swap.score)[:most]


def _apart(one: JointScore, other: JointScore, size_px: tuple[int, int]) -> float:
    """Distance of two joints in fractions of the picture's diagonal."""
    width, height = size_px
    across, down = (one.x_frac - other.x_frac) * width, (one.y_frac - other.y_frac) * height
    return math.hypot(across, down) / math.hypot(width, height)
