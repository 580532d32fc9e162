"""Before, after, carried pins and differences of rendered pictures in one drawing, to be looked at.

    python tests/bench/panels.py FOLDER OUT.png [--most 5]

One row for each picture after refitting: the first as-found picture of its spot; the picture itself; the same with the
pins carried from as-found pictures (yellow: within 2 % of the truth, orange: 5 %, red: farther off); the same with the
boxes of what seems to differ (the stronger, the thicker) and, in white, the faults that are there.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import cv2
import numpy as np
from bays import BaySet, Truth
from matching import compare_as_scored, home_pins, scenes_of

from asfound.core.match.carry import CarriedPin, HandPin, carry_pins
from asfound.core.match.compare import Comparison

HEIGHT = 420
YELLOW, ORANGE, RED, WHITE, CYAN = (255, 214, 10), (255, 140, 0), (230, 30, 30), (255, 255, 255), (0, 220, 255)


def main() -> None:
    """Read the command line and write the panel."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--most", type=int, default=5)
    options = parser.parse_args()
    cv2.setNumThreads(1)
    bay = BaySet(options.folder)
    wanted = [p for p in bay.photos if p.state == "refit" and p.spot and _found(bay, p)]
    rows = [draw_row(bay, p) for p in sorted(wanted, key=lambda p: not p.entry["faults"])[: options.most]]
    width = max(row.shape[1] for row in rows)
    filled = [np.pad(row, ((0, 6), (0, width - row.shape[1]), (0, 0))) for row in rows]
    cv2.imwrite(str(options.out), np.concatenate(filled)[..., ::-1])


def _found(bay: BaySet, after: Truth) -> list[Truth]:
    return [p for p in bay.photos if p.spot == after.spot and p.state == "found"]


def draw_row(bay: BaySet, after: Truth) -> np.ndarray:
    """The four drawings of one picture side by side."""
    before = _found(bay, after)[0]
    spot_of = {p.picture_id: p.spot for p in bay.photos if p.spot == after.spot}
    scene = scenes_of(bay, spot_of)[after.spot]
    hand = [
        HandPin(name, home.picture_id, *_place(home, name))
        for name, home, _ in home_pins(bay)
        if home.spot == after.spot
    ]
    members = [bay.scene_picture(i) for i in spot_of]
    pins = carry_pins(
        hand, members, bay.likenesses(list(spot_of)), load_gray=bay.gray, scene=scene, onto=[after.picture_id]
    )
    compared = compare_as_scored(bay, before, after, scene, spot_of)
    shown = bay.rgb(after.picture_id)
    drawings = [
        _titled(bay.rgb(before.picture_id), f"{before.file}, found"),
        _titled(shown, f"{after.file}, refitted, {after.spot}"),
        _titled(draw_pins(shown, after, pins), "pins carried"),
        _titled(draw_differences(shown, after, compared), "seems to differ"),
    ]
    return np.concatenate(drawings, axis=1)


def _place(picture: Truth, connector_id: str) -> tuple[float, float]:
    c = picture.connector(connector_id)
    return c["x"], c["y"]


def draw_pins(rgb: np.ndarray, picture: Truth, pins: list[CarriedPin]) -> np.ndarray:
    """Carried pins, coloured by how far they are off."""
    out = rgb.copy()
    for pin in pins:
        truth = picture.connector(str(pin.key))
        gap = 1.0 if truth is None else picture.gap(pin.x_frac, pin.y_frac, truth)
        ink = YELLOW if gap <= 0.02 else ORANGE if gap <= 0.05 else RED
        at = round(pin.x_frac * rgb.shape[1]), round(pin.y_frac * rgb.shape[0])
        cv2.circle(out, at, 10, ink, 3)
        cv2.putText(out, str(pin.key).rpartition("-")[2], (at[0] + 12, at[1] - 8), 0, 0.8, ink, 2)
    return out


def draw_differences(rgb: np.ndarray, picture: Truth, compared: Comparison) -> np.ndarray:
    """Boxes with their scores, and the truth in white."""
    out = rgb.copy()
    for fault in picture.entry["faults"]:
        if fault["spot"] == picture.spot:
            x0, y0, x1, y1 = map(round, fault["box"])
            cv2.rectangle(out, (x0, y0), (x1, y1), WHITE, 2)
            cv2.putText(out, fault["kind"], (x0, max(20, y0 - 6)), 0, 0.7, WHITE, 2)
    for box in compared.differences:
        if box.score >= 0.2:
            low = round(box.x_frac * rgb.shape[1]), round(box.y_frac * rgb.shape[0])
            high = round((box.x_frac + box.w_frac) * rgb.shape[1]), round((box.y_frac + box.h_frac) * rgb.shape[0])
            cv2.rectangle(out, low, high, CYAN, 5 if box.score >= 0.5 else 2)
            cv2.putText(out, f"{box.score:.2f}", (low[0] + 4, low[1] + 24), 0, 0.8, CYAN, 2)
    return out


def _titled(rgb: np.ndarray, words: str) -> np.ndarray:
    scale = HEIGHT / rgb.shape[0]
    small = cv2.resize(rgb, (round(rgb.shape[1] * scale), HEIGHT), interpolation=cv2.INTER_AREA)
    strip = np.zeros((26, small.shape[1], 3), np.uint8)
    cv2.putText(strip, words, (6, 19), 0, 0.55, WHITE, 1)
    return np.concatenate([strip, small])


if __name__ == "__main__":
    main()
