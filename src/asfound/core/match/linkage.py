"""Groups that grow by joining the two that go together best, with a person's words as bounds.

Each group keeps the group it goes best with, so that a join looks only at what it changes: the cost grows with the
square of the pictures, as the table of their evidence does, and not with the cube.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from asfound.core.match.arrays import BoolArray, FloatArray, IntArray

JOIN = 0.2
"""Least mean evidence of the pairs of two groups that join."""
LONE_SUPPORT, GROUP_SUPPORT = 0.2, 0.36
"""Least sum of the evidence, where one group is a picture alone, and of larger ones. These three were chosen among some
500 settings by how spots come out on six jobs, the ones shown in docs/measured.md among them (docs/decisions/0020,
0042)."""
LEAST_TOLD = 0.5
"""Guards the mean of groups whose pairs have next to no weight; two pictures have more."""
NEVER = -1.0
"""Stands for the mean evidence of groups that may not join; less than any that joins."""


def link_groups(evidence: FloatArray, weights: FloatArray, words: Sequence[int | None], marks: IntArray) -> list[int]:
    """Join groups of pictures while the mean evidence of the pairs between them is high enough.

    Parameters
    ----------
    evidence, weights : ndarray of shape (n, n), float64
        Of each pair of pictures; symmetric. Evidence counts as often as it weighs. Both are changed.
    words : sequence of n int or None
        Pictures of one word begin as one group; groups that each hold a word do not join.
    marks : ndarray of shape (n,), int64
        Pictures of different marks, other than 0, are kept apart.

    Returns
    -------
    list of int
        For each picture the position of one that stands for its group.
    """
    label_of = np.array([k if word is None else words.index(word) for k, word in enumerate(words)], np.int64)
    groups = _Groups(evidence, weights, label_of, np.array([word is not None for word in words], np.bool_), marks)
    while (best := groups.best()) is not None:
        keep, gone = best
        groups.join(keep, gone)
        label_of[label_of == gone] = keep
    return [int(label) for label in label_of]


class _Groups:
    """Groups by the position of the picture that stands for each; a row of one that is no more is not looked at."""

    def __init__(
        self, total: FloatArray, told: FloatArray, label_of: IntArray, has_word: BoolArray, marks: IntArray
    ) -> None:
        count = len(total)
        self.total, self.told, self.has_word, self.marks = total, told, has_word, marks.copy()
        self.sizes = np.ones(count)
        self.partner, self.mean = np.zeros(count, np.int64), np.full(count, NEVER)
        for k in np.flatnonzero(label_of != np.arange(count)).tolist():
            self._add(int(label_of[k]), k)
        for group in range(count):
            self._look(group)

    def best(self) -> tuple[int, int] | None:
        """The two groups that go together best, the first of equals; None when none is good enough."""
        first = int(self.mean.argmax()) if len(self.mean) else -1
        if first < 0 or self.mean[first] < JOIN:
            return None
        second = int(self.partner[first])
        return min(first, second), max(first, second)

    def join(self, keep: int, gone: int) -> None:
        """Add the second group to the first; those that went best with either look for theirs anew."""
        self._add(keep, gone)
        self.mean[gone] = NEVER
        self._look(keep)
        lost = (self.partner == keep) | (self.partner == gone)
        lost[keep] = False
        for k in np.flatnonzero(lost & (self.mean > NEVER)).tolist():
            self._look(k)
        mine = self._means(keep)
        better = (mine > self.mean) | ((mine == self.mean) & (mine > NEVER) & (keep < self.partner))
        better[keep] = False
        self.mean[better], self.partner[better] = mine[better], keep

    def _add(self, keep: int, gone: int) -> None:
        for table in (self.total, self.told):
            table[keep] += table[gone]
            table[:, keep] += table[:, gone]
        self.sizes[keep] += self.sizes[gone]
        self.sizes[gone] = 0
        self.has_word[keep] |= self.has_word[gone]
        self.marks[keep] = max(self.marks[keep], self.marks[gone])

    def _look(self, group: int) -> None:
        """Find the group that one goes best with, the first of equals."""
        means = self._means(group)
        self.partner[group] = means.argmax()
        self.mean[group] = means[self.partner[group]]

    def _means(self, group: int) -> FloatArray:
        """Mean evidence between a group and each other, `NEVER` where they may not join, shape (n,)."""
        if not self.sizes[group]:
            return np.full(len(self.sizes), NEVER)
        allowed = (self.sizes > 0) & ~(self.has_word[group] & self.has_word)
        allowed &= (self.marks == self.marks[group]) | (self.marks == 0) | (self.marks[group] == 0)
        lone = np.minimum(self.sizes, self.sizes[group]) < 2
        allowed &= self.total[group] >= np.where(lone, LONE_SUPPORT, GROUP_SUPPORT)
        allowed[group] = False
        return np.where(allowed, self.total[group] / np.maximum(self.told[group], LEAST_TOLD), NEVER)
