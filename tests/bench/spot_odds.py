"""Fit the probability that two pictures are of one spot (`belief.ONE_SPOT`), on rendered bays with truth.

    python tests/bench/spot_odds.py FOLDER...

`JOIN` of `core/match/linkage.py` and `SILENCE` of `core/match/spots.py`, which judge whole groups, are chosen with the
curve in use.
"""

from __future__ import annotations

import sys
from itertools import combinations
from pathlib import Path

from bays import BaySet
from logistic import Counted, report

from asfound.core.match.belief import ONE_SPOT
from asfound.core.match.spots import LEAST_AGREEING, spot_measures


def pairs_of(bay: BaySet) -> Counted:
    """All pairs that agree on enough to say anything."""
    counted = Counted()
    for a, b in combinations(bay.photos, 2):
        summary = bay.likeness(a.picture_id, b.picture_id).summary
        if summary.agreeing >= LEAST_AGREEING:
            counted.add(spot_measures(summary), a.spot is not None and a.spot == b.spot)
    return counted


if __name__ == "__main__":
    report(ONE_SPOT, {folder: pairs_of(BaySet(Path(folder))) for folder in sys.argv[1:]})
