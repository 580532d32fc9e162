"""Fit the probability that two pictures are of one spot, on rendered bays with truth.

    python tests/bench/spot_odds.py FOLDER...

Prints constants for `core/match/spots.py` (logistic regression by Newton's method) beside those in use, how well each
folder's pairs are told by what the other folders teach and by those in use, and how often pairs said to be of one spot
are. `JOIN` and `SILENCE`, which judge whole groups, are chosen with those in use.
"""

from __future__ import annotations

import sys
from itertools import combinations
from pathlib import Path

import numpy as np
from bays import BaySet

from asfound.core.match.likeness import LikenessSummary
from asfound.core.match.spots import (
    FARTHEST,
    LEAST_AGREEING,
    MOST_OCTAVES,
    ODDS,
    ODDS_AGREEING,
    ODDS_GAP,
    ODDS_SCALE,
)

NAMES = ("ODDS_AGREEING", "ODDS_GAP", "ODDS_SCALE", "ODDS")
CONSTANTS_IN_USE = (ODDS_AGREEING, ODDS_GAP, ODDS_SCALE, ODDS)


def row_of(summary: LikenessSummary) -> list[float]:
    """What the odds are made of: logarithm of agreeing matches, gap, octaves of scale, and 1."""
    octaves = min(abs(np.log2(summary.scale_ratio)), MOST_OCTAVES)
    return [np.log(summary.agreeing / LEAST_AGREEING), min(summary.centre_gap, FARTHEST), octaves, 1.0]


def pairs_of(bay: BaySet) -> tuple[list[list[float]], list[bool]]:
    """Rows and truth of all pairs that agree on enough to say anything."""
    rows, truth = [], []
    for a, b in combinations(bay.photos, 2):
        summary = bay.likeness(a.picture_id, b.picture_id).summary
        if summary.agreeing >= LEAST_AGREEING:
            rows.append(row_of(summary))
            truth.append(a.spot is not None and a.spot == b.spot)
    return rows, truth


def fit(rows: np.ndarray, truth: np.ndarray, ridge: float = 1e-3) -> np.ndarray:
    """Weights of a logistic regression, shape (4,)."""
    weights = np.zeros(rows.shape[1])
    for _ in range(40):
        p = 1 / (1 + np.exp(-rows @ weights))
        curvature = rows.T @ (rows * (p * (1 - p) + 1e-6)[:, None]) + ridge * np.eye(len(weights))
        weights += np.linalg.solve(curvature, rows.T @ (truth - p) - ridge * weights)
    return weights


def main() -> None:
    """Fit and print."""
    sets = {folder: pairs_of(BaySet(Path(folder))) for folder in sys.argv[1:]}
    said = []
    for left_out, (rows, truth) in sets.items():
        others = [pair for folder, pair in sets.items() if folder != left_out] or [(rows, truth)]
        weights = fit(
            np.concatenate([np.array(r) for r, _ in others]), np.concatenate([np.array(t) for _, t in others])
        )
        p = 1 / (1 + np.exp(-np.array(rows) @ weights))
        loss = -np.mean(np.log(np.where(truth, p, 1 - p) + 1e-9))
        used = 1 / (1 + np.exp(-np.array(rows) @ CONSTANTS_IN_USE))
        loss_in_use = -np.mean(np.log(np.where(truth, used, 1 - used) + 1e-9))
        print(
            f"{left_out}: {len(rows)} pairs, {sum(truth)} of one spot, log loss when left out {loss:.3f},"
            f" by the constants in use {loss_in_use:.3f}"
        )
        said += list(zip(p, truth, strict=True))
    everything = [np.concatenate([np.array(pair[k]) for pair in sets.values()]) for k in (0, 1)]
    print("in use", dict(zip(NAMES, CONSTANTS_IN_USE, strict=True)))
    print("fitted", dict(zip(NAMES, np.round(fit(everything[0], everything[1]), 2).tolist(), strict=True)))
    values, truth = (np.array(x) for x in zip(*said, strict=True))
    for low in np.arange(0, 1, 0.1):
        band = (values >= low) & (values < low + 0.1)
        if band.any():
            print(f"said {low:.1f} to {low + 0.1:.1f}: {band.sum()} pairs, {truth[band].mean():.2f} of one spot")


if __name__ == "__main__":
    main()
