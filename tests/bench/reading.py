"""How well tape numbers are read on rendered bays: recall over clear flags and precision, as the product is scored.

    python tests/bench/reading.py FOLDER... [--engine own|rapidocr] [--known]

A folder holds pictures and `manifest.json`. Wanted are flags wholly uncovered, facing the camera, 20 px or more; right
is any number on a flag of the picture. "In place" asks for the number inside its own flag's box as well. `--known`
combines the readings with the numbers of the bay's tags, as a job's own numbers do.
"""

from __future__ import annotations

import argparse
import json
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from asfound.core.read.agree import agree
from asfound.core.read.engine import NumberEngine
from asfound.core.read.picture import read_picture
from asfound.core.read.reading import Reading
from asfound.media.limits import DEFAULT_LIMITS
from asfound.media.opening import open_picture

THRESHOLDS = (0.35, 0.45, 0.55, 0.65, 0.75, 0.85)


@dataclass
class Tally:
    """Counts over the pictures that hold flags."""

    wanted: int = 0
    got: int = 0
    placed: int = 0
    said: int = 0
    right: int = 0
    unseen: int = 0
    wrong: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    def add(self, entry: dict[str, Any], readings: list[Reading], tags: set[str]) -> None:
        """Count one picture."""
        if not entry["flags"]:
            self.unseen += len(readings)
            return
        said = {reading.number for reading in readings}
        there = {str(flag["tag"]) for flag in entry["flags"]}
        clear = [f for f in entry["flags"] if f["clear"] >= 1 and f["facing"] >= 0.5 and f["height_px"] >= 20]
        self.wanted += len(clear)
        self.got += sum(str(flag["tag"]) in said for flag in clear)
        self.placed += sum(any(_inside(reading, flag, entry) for reading in readings) for flag in clear)
        self.said += len(said)
        self.right += len(said & there)
        self.missed += [f"{f['tag']} ({f['height_px']:.0f} px)" for f in clear if str(f["tag"]) not in said]
        self.wrong += [
            f"{r.number}{'' if r.number not in tags else ' (a tag of the bay)'} {r.confidence:.2f}"
            for r in readings
            if r.number not in there
        ]


def _inside(reading: Reading, flag: dict[str, Any], entry: dict[str, Any]) -> bool:
    x, y = reading.x_frac * entry["width"], reading.y_frac * entry["height"]
    x0, y0, x1, y1 = flag["box"]
    return reading.number == str(flag["tag"]) and x0 <= x <= x1 and y0 <= y <= y1


def bench(folder: Path, engine: NumberEngine, known: bool) -> dict[float, Tally]:
    """Read every picture of a folder that is not a query."""
    truth = json.loads((folder / "manifest.json").read_text())
    bays = truth["bays"] if isinstance(truth["bays"], list) else list(truth["bays"].values())
    tags = {str(c["tag"]) for bay in bays for spot in bay["spots"] for c in spot["connectors"]}
    tallies = {threshold: Tally() for threshold in THRESHOLDS}
    seconds = []
    for entry in truth["images"]:
        if entry["state"] == "query":
            continue
        image = open_picture(folder / entry["file"], limits=DEFAULT_LIMITS)
        started = time.process_time()
        readings = read_picture(image, engine=engine)
        seconds.append(time.process_time() - started)
        if known:
            readings = agree(readings, tags)
        for threshold, tally in tallies.items():
            tally.add(entry, [r for r in readings if r.confidence >= threshold], tags)
    print(
        f"{folder.name}: {len(seconds)} pictures, CPU median {np.median(seconds):.2f} s, longest {max(seconds):.2f} s"
    )
    return tallies


def main() -> None:
    """Print a row for each least confidence, over all folders together."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--engine", choices=["own", "rapidocr"], default="own")
    parser.add_argument("--known", action="store_true")
    parser.add_argument("--show", type=float, default=0.55)
    given = parser.parse_args()
    cv2.setNumThreads(1)
    if given.engine == "own":
        from asfound.core.read.network import NetworkEngine as Engine
    else:
        from asfound.core.read.rapid import RapidEngine as Engine
    engine = Engine()
    benches = [bench(folder, engine, given.known) for folder in given.folders]
    print("from  flags  recall  in place  precision  said  (on pictures without flags)")
    for threshold in THRESHOLDS:
        t = [tallies[threshold] for tallies in benches]
        wanted, said = sum(x.wanted for x in t), sum(x.said for x in t)
        recall, placed = sum(x.got for x in t) / max(1, wanted), sum(x.placed for x in t) / max(1, wanted)
        precision = sum(x.right for x in t) / max(1, said)
        unseen = sum(x.unseen for x in t)
        print(f"{threshold:.2f}  {wanted:5}  {recall:6.3f}  {placed:8.3f}  {precision:9.3f}  {said:4}  {unseen}")
        if threshold == given.show:
            print("   wrong:", ", ".join(w for x in t for w in x.wrong))
            print("   missed:", ", ".join(m for x in t for m in x.missed))


if __name__ == "__main__":
    main()
