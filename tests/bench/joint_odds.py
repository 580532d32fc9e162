"""Fit how likely something differs at a joint (`belief.DIFFERS`), on rendered bays with truth.

    python tests/bench/joint_odds.py FOLDER...

The first as-found picture of each true spot is compared with every later one of the spot, every connector pinned and
carried. A joint differs where it is bare or a fault of the picture names it. Cases are weighed so that one joint of
seven differs, as on a picture after a careless refit.
"""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
from bays import BaySet, Truth
from logistic import Counted, report
from matching import home_pins, scenes_of

from asfound.core.match.belief import DIFFERS
from asfound.core.match.carry import CarriedPin, HandPin, carry_pins
from asfound.core.match.compare import shared_joints, sides_of, unanswered_close

DIFFERING = 1 / 7
"""Share of joints that differ, in the pictures that the curve is for; chosen by hand (docs/decisions/0036)."""


def differs(name: str, after: Truth) -> bool | None:
    """Whether the joint is not as it was; None where it does not show."""
    seen = after.connector(name)
    if seen is None or not seen["visible"]:
        return None
    return not seen["attached"] or any(name in fault["connectors"] for fault in after.entry["faults"])


def count(bay: BaySet) -> Counted:
    """All joints of a bay that show in both pictures."""
    counted = Counted()
    spot_of = {p.picture_id: p.spot for p in bay.photos if p.spot}
    homes = home_pins(bay)
    for spot, scene in scenes_of(bay, spot_of).items():
        ids = [i for i, mine in spot_of.items() if mine == spot]
        before = next((bay.pictures[i] for i in ids if bay.pictures[i].state == "found"), None)
        if before is None:
            continue
        hand = [_hand(name, home) for name, home, _ in homes if home.spot == spot]
        said = carry_pins(
            hand, [bay.scene_picture(i) for i in ids], bay.likenesses(ids), load_gray=bay.gray, scene=scene
        )
        pins = {i: [_known(pin) for pin in hand if pin.picture_id == i] for i in ids}
        for pin in said:
            pins[pin.picture_id].append(pin)
        for i in ids:
            if bay.pictures[i].state != "found":
                _count_picture(counted, bay, scene, before, bay.pictures[i], pins)
    return counted


def _count_picture(counted: Counted, bay: BaySet, scene, before: Truth, after: Truth, pins: dict[int, list]) -> None:
    first, second = bay.scene_picture(before.picture_id), bay.scene_picture(after.picture_id)
    a, b = sorted((before.picture_id, after.picture_id))
    likeness = bay.likeness(a, b) if a == before.picture_id else bay.likeness(a, b).reversed()
    joints = shared_joints(first, second, likeness, pins[before.picture_id], pins[after.picture_id], scene)
    if not joints.keys:
        return
    sides = sides_of(first, second, bay.rgb(before.picture_id), bay.rgb(after.picture_id))
    for name, unlike in zip(joints.keys, unanswered_close(sides, joints), strict=True):
        truth = differs(name, after)
        if truth is not None:
            counted.add([unlike], truth)


def _hand(name: str, home: Truth) -> HandPin:
    place = home.connector(name)
    return HandPin(name, home.picture_id, place["x"], place["y"])


def _known(pin: HandPin) -> CarriedPin:
    return CarriedPin(pin.key, pin.picture_id, pin.x_frac, pin.y_frac, None, None, 1.0, True, "near")


def weigh(sets: dict[str, Counted]) -> dict[str, Counted]:
    """The sets with weights by which `DIFFERING` of all cases differ."""
    truth = [true for each in sets.values() for true in each.truth]
    share = sum(truth) / max(1, len(truth))
    by_truth = {True: DIFFERING / share if share else 1.0, False: (1 - DIFFERING) / (1 - share) if share < 1 else 1.0}
    return {name: Counted(c.rows, c.truth, [by_truth[true] for true in c.truth]) for name, c in sets.items()}


if __name__ == "__main__":
    cv2.setNumThreads(1)
    report(DIFFERS, weigh({folder: count(BaySet(Path(folder))) for folder in sys.argv[1:]}))
