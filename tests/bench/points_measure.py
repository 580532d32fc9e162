"""Pairs of photographs with truth by several ways to describe them, in one run.

    python tests/bench/points_measure.py FOLDER... --nets points.onnx...

Each FOLDER holds pictures and truth.json: `images` (by name: width, height, focal_35mm) and `pairs` (`a`, `b`,
`related`, and `points` [[xa, ya, xb, yb], ...] or a 3x3 `homography`, in pixels). Beside the networks the way in use is
measured. All pairs are compared in full; how many the first look would have kept is said apart. Pins are carried pair
by pair. Pairs across folders count as unrelated.
"""

from __future__ import annotations

import argparse
import json
import time
from collections import defaultdict
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from PIL import Image, ImageOps
from points_method import register_points

from asfound.core.match import IN_USE, verify
from asfound.core.match.camera import focal_px_from_35mm
from asfound.core.match.carry import HandPin, carry_pins
from asfound.core.match.features import Features, detect_features
from asfound.core.match.first_look import is_worth_comparing
from asfound.core.match.likeness import Likeness
from asfound.core.match.pixels import reduce_gray
from asfound.core.match.scene import ScenePicture, build_scene

Key = tuple[str, str]
PINS, PLANE_PINS, UNRELATED = 40, 12, 60


def places(pair: dict[str, Any], a: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Places in both pictures of sizes a and b, pixels, (n, 2) each; none where they are not known."""
    if "points" in pair:
        both = np.array(pair["points"], float).reshape(-1, 4)[:PINS]
        return both[:, :2], both[:, 2:]
    if "homography" not in pair:
        return np.zeros((0, 2)), np.zeros((0, 2))
    here = np.random.default_rng(0).uniform(0, 1, (600, 2)) * a
    there = np.column_stack([here, np.ones(len(here))]) @ np.array(pair["homography"]).T
    there = there[:, :2] / there[:, 2:]
    inside = ((there > 0) & (there < b)).all(axis=1)
    return here[inside][:PLANE_PINS], there[inside][:PLANE_PINS]


def gaps(
    pictures: list[ScenePicture], likeness: Likeness, grays: list[np.ndarray], truth: tuple[Any, ...]
) -> list[float]:
    """How far carried pins are off, in diagonals; infinite where none is said."""
    here, there, size_a, size_b = truth
    pins = [HandPin(k, 0, *map(float, (xy + 0.5) / size_a)) for k, xy in enumerate(here)]
    scene = build_scene(pictures, {(0, 1): likeness}, seed=1)
    off = np.full(len(pins), np.inf)
    for pin in carry_pins(pins, pictures, {(0, 1): likeness}, load_gray=grays.__getitem__, scene=scene, onto=[1]):
        if pin.inside:
            at = np.array([pin.x_frac, pin.y_frac]) * size_b - 0.5
            off[pin.key] = np.linalg.norm(at - there[pin.key]) / np.hypot(*size_b)
    return [float(x) for x in off]


def load_gray(path: Path) -> np.ndarray:
    with Image.open(path) as im:
        return np.asarray(ImageOps.exif_transpose(im).convert("L"))


def unrelated_keys(keys: list[Key]) -> list[tuple[Key, Key]]:
    rng, out = np.random.default_rng(1), []
    while len({name for name, _ in keys}) > 1 and len(out) < UNRELATED:
        a, b = (keys[k] for k in rng.integers(0, len(keys), 2))
        if a[0] != b[0]:
            out.append((a, b))
    return out


def measure(method: str, sets: dict[str, dict[str, Any]], grays: dict[Key, np.ndarray]) -> None:
    """Describe, compare, carry; print a line for each set."""
    start = time.process_time()
    features: dict[Key, Features] = {key: detect_features(gray, method=method) for key, gray in grays.items()}
    print(f"{method}: {(time.process_time() - start) / len(grays):.2f} s of the processor a picture")
    rows = [(n, (n, p["a"]), (n, p["b"]), p) for n, s in sets.items() for p in s["pairs"]]
    rows += [("across", a, b, {"related": False}) for a, b in unrelated_keys(sorted(grays))]
    said, off = defaultdict(list), defaultdict(list)
    for name, a, b, pair in rows:
        likeness = verify.verify_pair(features[a], features[b])
        related = pair.get("related", True)
        kept = is_worth_comparing(features[a], features[b])
        said[name, related].append((likeness.probability >= 0.5, likeness.agreeing >= 15, kept, likeness.agreeing))
        if related:
            images = [sets[key[0]]["images"][key[1]] for key in (a, b)]
            sizes = [np.array([im["width"], im["height"]], float) for im in images]
            here, there = places(pair, *sizes)
            if len(here):
                pictures = [
                    ScenePicture(k, features[key], focal_px_from_35mm(im.get("focal_35mm"), features[key].size_px))
                    for k, (key, im) in enumerate(zip((a, b), images, strict=True))
                ]
                reduced = [reduce_gray(grays[key], 1024) for key in (a, b)]
                off[name] += gaps(pictures, likeness, reduced, (here, there, *sizes))
    for (name, related), values in sorted(said.items()):
        accepted, many, kept, agreeing = np.array(values, float).T
        print(
            f"  {name}, {'related' if related else 'unrelated'}, {len(values)}: accepted {accepted.mean():.2f}, "
            f"15 agreeing {many.mean():.2f}, median {np.median(agreeing):.0f}, most {agreeing.max():.0f}; "
            f"first look keeps {kept.mean():.2f}"
        )
    for name, values in off.items():
        gap = np.array(values)
        told = gap[np.isfinite(gap)]
        wrong = (told > 0.05).mean() if len(told) else 0.0
        print(
            f"  {name}, {len(gap)} pins: within 2 % {(gap <= 0.02).mean():.2f}, 5 % {(gap <= 0.05).mean():.2f}, "
            f"wrong of said {wrong:.2f}",
            flush=True,
        )


def main() -> None:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("folders", type=Path, nargs="+")
    ap.add_argument("--nets", type=Path, nargs="*", default=[])
    ap.add_argument("--only-nets", action="store_true")
    a = ap.parse_args()
    cv2.setNumThreads(1)
    for path in a.nets:
        register_points(path.stem, path)
    sets = {folder.name: json.loads((folder / "truth.json").read_text()) for folder in a.folders}
    grays = {(f.name, name): load_gray(f / name) for f in a.folders for name in sets[f.name]["images"]}
    verify.is_worth_comparing = lambda *_: True
    for method in [*([] if a.only_nets else [IN_USE]), *(path.stem for path in a.nets)]:
        measure(method, sets, grays)


if __name__ == "__main__":
    main()
