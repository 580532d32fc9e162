"""Gather photographs for train_points.py: python tests/bench/points_photos.py --out FOLDER SOURCE...

A SOURCE is a folder of photographs; `NAME=FOLDER` says that all of them show one place. Each is reduced to 640 pixels
and kept in gray; of large ones some pieces are kept as well. Pictures with next to nothing on them are left out. Writes
FOLDER/*.webp and FOLDER/list.json.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

SIDE, QUALITY = 640, 80
LEAST_POINTS, LEAST_SIDE, LARGE = 150, 200, 1400
ENDS = {".jpg", ".jpeg", ".png", ".webp"}


def pieces(size: tuple[int, int], count: int, rng: np.random.Generator) -> list[tuple[int, int, int, int]]:
    """The whole picture, and of a large one pieces of a third to seven tenths of its width."""
    wide, high = size
    boxes = [(0, 0, wide, high)]
    for _ in range(count if max(size) > LARGE else 0):
        width = int(min(wide, high * 1.5) * rng.uniform(0.36, 0.72))
        height = int(width * 0.75)
        if width >= SIDE and height <= high:
            x, y = int(rng.integers(0, wide - width + 1)), int(rng.integers(0, high - height + 1))
            boxes.append((x, y, x + width, y + height))
    return boxes


def main() -> None:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("sources", nargs="+")
    ap.add_argument("--out", type=Path, required=True)
    ap.add_argument("--pieces", type=int, default=4, help="of a large photograph")
    a = ap.parse_args()
    a.out.mkdir(parents=True, exist_ok=True)
    rng, sift = np.random.default_rng(1), cv2.SIFT.create(3000)
    names: list[tuple[str, str]] = []
    groups: dict[str, list[str]] = {}
    for source in a.sources:
        label, _, folder = source.rpartition("=")
        for path in sorted(p for p in Path(folder).rglob("*") if p.suffix.lower() in ENDS):
            with Image.open(path) as im:
                gray = im.convert("L")
            for k, box in enumerate(pieces(gray.size, a.pieces, rng)):
                piece = gray.crop(box)
                piece.thumbnail((SIDE, SIDE), Image.Resampling.LANCZOS)
                if min(piece.size) < LEAST_SIDE or len(sift.detect(np.asarray(piece), None)) < LEAST_POINTS:
                    continue
                name = f"{len(names):04d}.webp"
                piece.save(a.out / name, quality=QUALITY)
                names.append((name, f"{label or folder}/{path.name}"))
                if label and k == 0:
                    groups.setdefault(label, []).append(name)
    (a.out / "list.json").write_text(json.dumps({"groups": groups, "names": names}))
    print(f"{len(names)} photographs, {len(groups)} places")


if __name__ == "__main__":
    main()
