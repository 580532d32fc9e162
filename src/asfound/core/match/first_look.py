"""Whether comparing two pictures in full can be worth it, told from their strongest keypoints.

Most pictures of a job show different places. A keypoint has a place, a size and an angle, so one match already says
where the middle of one picture would lie in the other, how large and how turned. Matches of one place agree on that,
chance ones do not: Hough voting over similarities (Lowe, IJCV 60, 2004, section 7.3), which needs no robust estimate.
"""

from __future__ import annotations

import numpy as np

from asfound.core.match.arrays import IntArray
from asfound.core.match.features import Features, normalised_descriptors
from asfound.core.match.pixels import diagonal_px
from asfound.core.match.putative import match_descriptors

STRONGEST = 1500
# Of 5,846 pairs of six rendered sets 23 % have so many votes. Of the 436 pairs of one place that a whole comparison
# finds something in, three have fewer, none of them a strong one (docs/decisions/0018).
LEAST_VOTES = 7
TURN_DEG, OCTAVES, APART = 20.0, 0.5, 0.2


def is_worth_comparing(a: Features, b: Features) -> bool:
    """Whether enough of the strongest matches of two pictures agree. Costs about a ninth of a whole comparison."""
    first, second = a.strongest(STRONGEST), b.strongest(STRONGEST)
    pairs = match_descriptors(normalised_descriptors(first), normalised_descriptors(second))
    return most_votes(first, second, pairs) >= LEAST_VOTES


def most_votes(a: Features, b: Features, pairs: IntArray) -> int:
    """Matches (k, 2) that agree with one of them, itself counted, on where and how the middle of a lies in b.

    They agree within `TURN_DEG` degrees, `OCTAVES` and `APART` of the diagonal of a as b shows it.
    """
    if not len(pairs):
        return 0
    turns = np.mod(b.angles[pairs[:, 1]] - a.angles[pairs[:, 0]], 360.0)
    growth = np.maximum(b.scales[pairs[:, 1]], 1e-3) / np.maximum(a.scales[pairs[:, 0]], 1e-3)
    octaves, angle = np.log2(growth), np.radians(turns)
    cos, sin = np.cos(angle) * growth, np.sin(angle) * growth
    to_middle = (np.array(a.size_px, np.float32) - 1) / 2 - a.points_px[pairs[:, 0]]
    rotated = np.column_stack(
        [cos * to_middle[:, 0] - sin * to_middle[:, 1], sin * to_middle[:, 0] + cos * to_middle[:, 1]]
    )
    middles = b.points_px[pairs[:, 1]] + rotated
    apart_deg = np.abs(turns[:, None] - turns[None])
    agree = np.minimum(apart_deg, 360 - apart_deg) < TURN_DEG
    agree &= np.abs(octaves[:, None] - octaves[None]) < OCTAVES
    reach = APART * diagonal_px(a.size_px) * np.maximum(growth, 1)
    agree &= np.linalg.norm(middles[:, None] - middles[None], axis=-1) < reach[:, None]
    return int(agree.sum(axis=1).max())
