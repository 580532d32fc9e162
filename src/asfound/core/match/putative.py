"""Putative matches: mutual nearest descriptors that pass Lowe's ratio test."""

from __future__ import annotations

import numpy as np

from asfound.core.match.arrays import Float32Array, IntArray

RATIO = 0.87
"""Greatest ratio of distances of a match. Chosen by hand; not measured."""
BLOCK_ROWS = 512
"""Rows of the table of likenesses worked out at a time: a few megabytes, which stay near the processor."""
UNLIKE = -2
"""Less than any likeness of unit vectors."""


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
    count_a, count_b = len(unit_a), len(unit_b)
    across = np.ascontiguousarray(unit_b.T)
    best_b = np.empty(count_a, np.int64)
    best, second = np.empty(count_a, np.float32), np.empty(count_a, np.float32)
    best_of_b = np.full(count_b, UNLIKE, np.float32)
    # Block by block in one buffer: the whole table would be 64 MB of fresh memory for each pair of pictures.
    buffer = np.empty((min(BLOCK_ROWS, count_a), count_b), np.float32)
    for start in range(0, count_a, BLOCK_ROWS):
        rows = slice(start, min(start + BLOCK_ROWS, count_a))
        likeness = buffer[: rows.stop - start]
        np.matmul(unit_a[rows], across, out=likeness)
        line = np.arange(len(likeness))
        best_b[rows] = likeness.argmax(axis=1)
        best[rows] = likeness[line, best_b[rows]]
        np.maximum(best_of_b, likeness.max(axis=0), out=best_of_b)
        likeness[line, best_b[rows]] = UNLIKE
        second[rows] = likeness.max(axis=1)
    # Mutual means that the values are the same one. For unit vectors the squared distance is 2 - 2 cos.
    passes = (best == best_of_b[best_b]) & (2 - 2 * best <= ratio * ratio * (2 - 2 * second))
    rows_a = np.flatnonzero(passes)
    return np.column_stack([rows_a, best_b[rows_a]]).astype(np.int32)
