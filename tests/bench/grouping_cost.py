"""What grouping into spots costs, on made-up likenesses of as many pictures as asked.

    python tests/bench/grouping_cost.py 495 990 1980 4950

Places of five pictures that agree with each other, and three chance likenesses a picture. Prints processor seconds,
spots found and the most memory so far.
"""

from __future__ import annotations

import resource
import sys
import time

import numpy as np

from asfound.core.match.likeness import LikenessSummary
from asfound.core.match.spots import PictureEvidence, group_spots

OF_ONE_PLACE, CHANCE = 5, 3


def likenesses_of(count: int) -> dict[tuple[int, int], LikenessSummary]:
    """Likenesses of a job of `count` pictures, the same at every call."""
    rng = np.random.default_rng(1)
    found = {}
    for i in range(count):
        for j in range(i + 1, min(count, i - i % OF_ONE_PLACE + OF_ONE_PLACE)):
            gap, growth = rng.uniform(0, 0.15), 2 ** rng.normal(0, 0.2)
            found[i, j] = LikenessSummary(int(rng.integers(8, 200)), 0.9, float(gap), float(growth))
        for j in map(int, rng.integers(0, count, CHANCE)):
            if j > i and (i, j) not in found:
                gap, growth = rng.uniform(0, 0.5), 2 ** rng.normal(0, 0.4)
                found[i, j] = LikenessSummary(int(rng.integers(8, 30)), 0.5, float(gap), float(growth))
    return found


if __name__ == "__main__":
    for pictures in map(int, sys.argv[1:]):
        told = likenesses_of(pictures)
        start = time.process_time()
        spot_of = group_spots([PictureEvidence(i, float(i)) for i in range(pictures)], told).spot_of
        took = time.process_time() - start
        megabytes = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        print(f"{pictures} pictures: {took:.2f} s, {len(set(spot_of.values()))} spots, {megabytes} MB")
