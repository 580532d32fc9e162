"""Fit how sure a pin carried by the matches around it is (`belief.CARRIED_NEAR`).

    python tests/bench/near_odds.py FOLDER... [--pairs FOLDER]

FOLDERs are rendered bays with truth: every connector is carried from its clearest as-found picture to each other
picture of its true spot. `--pairs` is a folder of photographs in pairs, `NAME_a.png` and `NAME_b.png`, with a
`truth.json` of `{NAME: {"points": [[xa, ya, xb, yb, group], ...]}}`, pixels; what stands before the underscore of a
name is its set. Whether depth leads there too is not told here, so the fit on bays is bolder than the curve in use.
"""

from __future__ import annotations

import argparse
import json
from collections import defaultdict
from pathlib import Path

import cv2
import numpy as np
from bays import BaySet
from logistic import Counted, report
from matching import home_pins

from asfound.core.match.belief import CARRIED_NEAR
from asfound.core.match.features import Features, detect_features
from asfound.core.match.likeness import Likeness
from asfound.core.match.pin_depth import RIGHT_WITHIN
from asfound.core.match.pin_near import near_measures, place_by_matches
from asfound.core.match.pixels import diagonal_px, px_from_frac
from asfound.core.match.verify import LEAST_AGREEING, verify_pair

PINS = 25
"""Of one pair of photographs, drawn at random."""


def count_pin(counted: Counted, a: Features, b: Features, likeness: Likeness, here_px, there_px) -> None:
    """One pin from its place in a to its true place in b."""
    near = place_by_matches(here_px, a, b, likeness, seed=1) if likeness.agreeing >= LEAST_AGREEING else None
    if near is not None:
        right = np.linalg.norm(near.place_px - there_px) <= RIGHT_WITHIN * diagonal_px(b.size_px)
        counted.add(near_measures(near.nearest, near.spread), bool(right))


def of_bay(bay: BaySet) -> Counted:
    """Every connector of a bay on every picture of its spot."""
    counted = Counted()
    for name, home, seen in home_pins(bay):
        for other in seen.values():
            if other is home or other.spot != home.spot:
                continue
            first, second = sorted((home.picture_id, other.picture_id))
            likeness = bay.likeness(first, second)
            likeness = likeness if first == home.picture_id else likeness.reversed()
            a, b = bay.features(home.picture_id), bay.features(other.picture_id)
            places = [
                px_from_frac([p.connector(name)[axis] for axis in "xy"], features.size_px)
                for p, features in ((home, a), (other, b))
            ]
            count_pin(counted, a, b, likeness, *places)
    return counted


def of_pairs(folder: Path) -> dict[str, Counted]:
    """Every pair of photographs of a folder, by the set."""
    sets: dict[str, Counted] = defaultdict(Counted)
    for name, entry in json.loads((folder / "truth.json").read_text()).items():
        grays = [cv2.imread(str(folder / f"{name}_{side}.png"), cv2.IMREAD_GRAYSCALE) for side in "ab"]
        a, b = map(detect_features, grays)
        scales = [(np.array(f.size_px) / gray.shape[::-1]) for f, gray in zip((a, b), grays, strict=True)]
        likeness = verify_pair(a, b)
        points = np.array(entry["points"])
        for point in points[np.random.default_rng(1).permutation(len(points))[:PINS]]:
            count_pin(sets[name.split("_")[0]], a, b, likeness, point[:2] * scales[0], point[2:4] * scales[1])
    return sets


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--pairs", type=Path)
    options = parser.parse_args()
    cv2.setNumThreads(1)
    told = {str(folder): of_bay(BaySet(folder)) for folder in options.folders}
    report(CARRIED_NEAR, told | (of_pairs(options.pairs) if options.pairs else {}))
