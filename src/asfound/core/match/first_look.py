"""Whether comparing two pictures in full can be worth it, told from how their strongest keypoints vote.

Most pictures of a job show different places. `similarity_votes` says how votes are counted.
"""

from __future__ import annotations

from asfound.core.match.arrays import IntArray
from asfound.core.match.features import Features, normalised_descriptors
from asfound.core.match.putative import match_descriptors
from asfound.core.match.similarity_votes import VoteTolerance, votes_agree

STRONGEST = 1500
"""Keypoints of each picture that a first look compares: an eighth of the products of a whole comparison
(docs/decisions/0018)."""
# Of 3,891 pairs of the bay and sample_media that show two spots 18 % have so many votes, of 1,500 of different jobs
# next to none. Of the 197 pairs of one spot that a whole comparison finds something in none has fewer; three have fewer
# than seven (docs/decisions/0018, 0046).
LEAST_VOTES = 5
TOLERANCE = VoteTolerance(turn_deg=20.0, octaves=0.5, apart=0.2, least_growth=1.0)
"""Chosen by hand; that few votes pass few pairs was measured with it (docs/decisions/0018), others were not tried."""


def is_worth_comparing(a: Features, b: Features) -> bool:
    """Whether enough of the strongest matches of two pictures agree. Costs about a ninth of a whole comparison."""
    first, second = a.strongest(STRONGEST), b.strongest(STRONGEST)
    pairs = match_descriptors(normalised_descriptors(first), normalised_descriptors(second))
    return most_votes(first, second, pairs) >= LEAST_VOTES


def most_votes(a: Features, b: Features, pairs: IntArray) -> int:
    """Matches (k, 2) that agree with one of them, itself counted, on where and how a lies in b; 0 without matches."""
    if not len(pairs):
        return 0
    agree = votes_agree(a.rows(pairs[:, 0]), b.rows(pairs[:, 1]), a.size_px, TOLERANCE)
    return int(agree.sum(axis=1).max())
