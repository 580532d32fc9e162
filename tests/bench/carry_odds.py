"""Fit how sure a pin carried through depth is (`belief.CARRIED`), on rendered bays with truth.

    python tests/bench/carry_odds.py FOLDER...

Every connector is pinned by hand on its clearest as-found picture and carried within its true spot. A pin is right
within 5 % of the diagonal.
"""

from __future__ import annotations

import sys
from pathlib import Path

import cv2
import numpy as np
from bays import BaySet, Truth
from logistic import Counted, report
from matching import home_pins, scenes_of

from asfound.core.match.belief import CARRIED, log_odds
from asfound.core.match.carry import LEAST_AGREEING, SAME_PLACE, believed_place, oriented
from asfound.core.match.pin_depth import RIGHT_WITHIN, estimate_depth, normalise_light
from asfound.core.match.pin_near import place_by_matches
from asfound.core.match.pixels import diagonal_px, frac_from_px, px_from_frac, resize_gray
from asfound.core.match.scene import Scene


def prepared(bay: BaySet, scene: Scene) -> dict[int, np.ndarray]:
    """Every placed picture by its row, at matching size, light divided out."""
    return {
        row: normalise_light(resize_gray(bay.gray(int(i)), scene.camera(row).size_px).astype(np.float32))
        for row, i in enumerate(scene.picture_ids)
    }


def count(bay: BaySet) -> Counted:
    """Beliefs of all pins of a bay that are carried through depth."""
    counted = Counted()
    scenes = scenes_of(bay, {p.picture_id: p.spot for p in bay.photos if p.spot})
    images = {spot: prepared(bay, scene) for spot, scene in scenes.items()}
    for name, home, seen in home_pins(bay):
        scene = scenes[home.spot]
        row = scene.row_of(home.picture_id)
        if row is not None:
            count_pin(counted, bay, scene, images[home.spot], row, name, home, seen)
    return counted


def count_pin(
    counted: Counted,
    bay: BaySet,
    scene: Scene,
    images: dict[int, np.ndarray],
    row: int,
    name: str,
    home: Truth,
    seen: dict[str, Truth],
) -> None:
    """Add what is believed of one pin on each other picture of its spot that shows its place."""
    place, here = home.connector(name), scene.camera(row)
    pin_px = px_from_frac([place["x"], place["y"]], here.size_px)
    depth = estimate_depth(scene, row, pin_px, images)
    if depth is None:
        return
    points = here.lift(pin_px[None], depth.depths)[:, 0]
    for other in seen.values():
        to, truth = scene.row_of(other.picture_id), other.connector(name)
        if to in (None, row):
            continue
        places = scene.camera(to).project(points)
        x, y = frac_from_px(places[depth.best], scene.camera(to).size_px)
        if 0 <= x <= 1 and 0 <= y <= 1:
            right = other.gap(x, y, truth) <= RIGHT_WITHIN
            near = place_near(bay, home, other, pin_px)
            miss = np.inf if near is None else np.linalg.norm(places[depth.best] - near)
            borne_out = miss < SAME_PLACE * diagonal_px(scene.camera(to).size_px)
            counted.add([log_odds(believed_place(depth, places, scene, to)), float(borne_out)], bool(right))


def place_near(bay: BaySet, home: Truth, other: Truth, pin_px: np.ndarray) -> np.ndarray | None:
    """Where the matches around a pin lead, (2,) in pixels; None where they lead nowhere."""
    likeness = oriented(bay.likenesses(sorted([home.picture_id, other.picture_id])), home.picture_id, other.picture_id)
    if likeness is None or likeness.agreeing < LEAST_AGREEING:
        return None
    a, b = bay.features(home.picture_id), bay.features(other.picture_id)
    near = place_by_matches(pin_px, a, b, likeness, seed=1)
    return None if near is None else near.place_px


if __name__ == "__main__":
    cv2.setNumThreads(1)
    report(CARRIED, {folder: count(BaySet(Path(folder))) for folder in sys.argv[1:]})
