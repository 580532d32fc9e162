"""Putative matches: mutual nearest descriptors that pass Lowe's ratio test."""

from __future__ import annotations

import numpy as np

from asfound.core.match.arrays import Float32Array, IntArray

RATIO = 0.87


def match_descriptors(unit_a: Float32Array, unit_b: Float32Array, *, ratio: float = RATIO) -> IntArray:
    """Match unit descriptors of two pictures.

    Parameters
    ----------
    unit_a, unit_b : ndarray of shape (n, d) and (m, d), float32
        Unit vectors, as `normalised_descriptors` gives them.
    ratio : float
        Greatest distance to the nearest over distance to the second nearest (Lowe, IJCV 60, 2004, section 7.1).

    Returns
    -------
    ndarray of shape (k, 2), int32
        Indices into a and b, in the order of a. Cost: n * m * d multiplications.
    """
    if len(unit_a) < 2 or len(unit_b) < 2:
        return np.zeros((0, 2), np.int32)
    likeness = unit_a @ unit_b.T
    rows = np.arange(len(unit_a))
    best_b = likeness.argmax(axis=1)
    best = likeness[rows, best_b]
    # The greatest value of a column costs a twentieth of its place; mutual means that the values are the same one.
    mutual = best == likeness.max(axis=0)[best_b]
    rows, best_b, best = rows[mutual], best_b[mutual], best[mutual]
    likeness[rows, best_b] = -2
    # For unit vectors the squared distance is 2 - 2 cos.
    passes = 2 - 2 * best <= ratio * ratio * (2 - 2 * likeness[rows].max(axis=1))
    return np.column_stack([rows[passes], best_b[passes]]).astype(np.int32)
