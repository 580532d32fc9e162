"""Fit a curve of `core/match/belief.py` on counted truth, and say how far each set is told by what the others teach."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from asfound.core.match.belief import BeliefCurve

ROUNDS = 40
"""Steps of Newton's method: it stands still long before."""


@dataclass(frozen=True)
class Counted:
    """What was measured, a row for each case, whether it came true, and how much each case counts."""

    rows: list[Sequence[float]] = field(default_factory=list)
    truth: list[bool] = field(default_factory=list)
    weights: list[float] = field(default_factory=list)

    def add(self, row: Sequence[float], truth: bool, weight: float = 1.0) -> None:
        """One more case; one that could not be measured is left out."""
        if np.isfinite(row).all():
            self.rows.append(row)
            self.truth.append(truth)
            self.weights.append(weight)


def fit(rows: np.ndarray, truth: np.ndarray, ridge: float = 1e-3, counting: np.ndarray | float = 1.0) -> np.ndarray:
    """Weights of a logistic regression by Newton's method, shape (d,), of rows (n, d) that count so much each."""
    weights = np.zeros(rows.shape[1])
    for _ in range(ROUNDS):
        p = 1 / (1 + np.exp(-rows @ weights))
        curvature = rows.T @ (rows * (counting * (p * (1 - p) + 1e-6))[:, None]) + ridge * np.eye(len(weights))
        weights += np.linalg.solve(curvature, rows.T @ (counting * (truth - p)) - ridge * weights)
    return weights


def fitted(counted: Sequence[Counted], ridge: float = 1e-3) -> np.ndarray:
    """The constant and the weights that some sets teach together."""
    rows = np.concatenate([np.reshape(each.rows, (len(each.rows), -1)) for each in counted if each.rows])
    truth = np.concatenate([each.truth for each in counted if each.rows]).astype(float)
    counting = np.concatenate([each.weights for each in counted if each.rows])
    return fit(np.column_stack([np.ones(len(rows)), rows]), truth, ridge, counting)


def report(curve: BeliefCurve, sets: Mapping[str, Counted], ridge: float = 1e-3) -> None:
    """Print the log loss of each set, left out and by the curve in use, then the curve in use and the one fitted."""
    print(curve.says)
    for name, counted in sets.items():
        if not counted.rows:
            print(f"  {name}: nothing to count")
            continue
        taught = fitted([each for other, each in sets.items() if other != name and each.rows] or [counted], ridge)
        left_out = 1 / (1 + np.exp(-(np.column_stack([np.ones(len(counted.rows)), counted.rows]) @ taught)))
        in_use = np.array([curve.at(*row) for row in counted.rows])
        print(
            f"  {name}: {len(counted.rows)} cases, {sum(counted.truth)} true, log loss when left out"
            f" {_log_loss(left_out, counted.truth):.3f}, by the curve in use {_log_loss(in_use, counted.truth):.3f}"
        )
    everything = fitted(list(sets.values()), ridge)
    print("  in use", [curve.constant, *curve.weights.values()], "fitted", np.round(everything, 2).tolist())
    _tell_reliability(curve, sets)


def _tell_reliability(curve: BeliefCurve, sets: Mapping[str, Counted]) -> None:
    """Of what the curve in use says, how much came true."""
    said = np.array([curve.at(*row) for each in sets.values() for row in each.rows])
    truth = np.array([true for each in sets.values() for true in each.truth])
    for low in np.arange(0, 1, 0.1):
        band = (said >= low) & ((said < low + 0.1) | ((said == 1) & (low > 0.85)))
        if band.any():
            print(f"  said {low:.1f} to {low + 0.1:.1f}: {band.sum()} cases, {truth[band].mean():.2f} true")


def _log_loss(p: np.ndarray, truth: Sequence[bool]) -> float:
    return float(-np.mean(np.log(np.where(truth, p, 1 - p) + 1e-9)))
