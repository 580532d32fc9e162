"""Which carried pins are hidden, on rendered bays with truth.

    python tests/bench/hidden.py FOLDER...

Every connector is pinned by hand on its clearest as-found picture and carried within its true spot, then again from
each other as-found picture that shows it. The truth is the share of five rays that reach the joint: under .4 it is
hidden, .4 is mostly hidden, the rest is in sight.
"""

from __future__ import annotations

import argparse
from collections import Counter
from pathlib import Path

import cv2
from bays import BaySet, Truth
from matching import carrier, home_pins

from asfound.core.match.carry import CarriedPin, HandPin

BANDS = ("hidden", "mostly hidden", "in sight")


def band(clear: float) -> str:
    """What the truth says of a sighting."""
    return BANDS[0] if clear < 0.4 else BANDS[1] if clear == 0.4 else BANDS[2]


def count(bay: BaySet, *, clearest: bool) -> dict[tuple[bool | None, str], int]:
    """Carried pins in the frame by what was said of them (hidden, in sight, nothing) and by the truth."""
    carry = carrier(bay, {p.picture_id: p.spot for p in bay.photos if p.spot})
    counts: Counter[tuple[bool | None, str]] = Counter()
    for name, home, seen in home_pins(bay):
        others = [p for p in seen.values() if _shows(p, name, home.spot)]
        for p in [home] if clearest else others:
            place = p.connector(name)
            for pin in carry(name, p, HandPin(name, p.picture_id, place["x"], place["y"])):
                truth = bay.pictures[pin.picture_id].connector(name)
                if truth is not None and _is_deep(pin):
                    counts[pin.hidden, band(truth["clear"])] += 1
    return counts


def _shows(p: Truth, name: str, spot: str | None) -> bool:
    c = p.connector(name)
    return p.state == "found" and p.spot == spot and c["visible"] and min(c["x"], c["y"], 1 - c["x"], 1 - c["y"]) > 0.05


def _is_deep(pin: CarriedPin) -> bool:
    return pin.how == "depth"


def main() -> None:
    """Read the command line and print the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", type=Path, nargs="+")
    options = parser.parse_args()
    cv2.setNumThreads(1)
    for folder in options.folders:
        for clearest, words in ((True, "from the clearest"), (False, "from every as-found picture")):
            counts = count(BaySet(folder), clearest=clearest)
            print(folder.name, words)
            for said, name in ((True, "said hidden"), (False, "said in sight"), (None, "nothing said")):
                print("  ", name, {truth: counts[said, truth] for truth in BANDS})


if __name__ == "__main__":
    main()
