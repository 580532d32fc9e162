"""Groups that grow by joining: the same groups as a plain search of the whole table at every step, at less cost."""

from __future__ import annotations

import numpy as np
import pytest

from asfound.core.match import linkage
from asfound.core.match.linkage import GROUP_SUPPORT, JOIN, LONE_SUPPORT, link_groups


def plain_link(evidence, weights, words, marks):
    """The rule itself, every pair of groups worked out anew at every step."""
    groups = {k: [k] for k in range(len(words))}
    for k, word in enumerate(words):
        if word is not None and words.index(word) != k:
            groups[words.index(word)] += groups.pop(k)
    while True:
        best, chosen = JOIN, None
        for i in sorted(groups):
            for j in sorted(groups):
                mine, other = groups[i], groups[j]
                marked = {int(marks[k]) for k in mine + other} - {0}
                spoken = all(any(words[k] is not None for k in group) for group in (mine, other))
                total = evidence[np.ix_(mine, other)].sum()
                least = LONE_SUPPORT if min(len(mine), len(other)) < 2 else GROUP_SUPPORT
                if i == j or len(marked) > 1 or spoken or total < least:
                    continue
                mean = total / max(weights[np.ix_(mine, other)].sum(), 0.5)
                if mean >= best and (chosen is None or mean > best):
                    best, chosen = mean, (min(i, j), max(i, j))
        if chosen is None:
            return {frozenset(group) for group in groups.values()}
        groups[chosen[0]] += groups.pop(chosen[1])


def drawn(seed, count=14):
    """A table of places with some noise; sixty-fourths, so that sums in any order are equal."""
    rng = np.random.default_rng(seed)
    place = rng.integers(0, 4, count)
    evidence = np.where(place[:, None] == place[None], 40, -20) + rng.integers(-40, 40, (count, count))
    silent = rng.random((count, count)) < 0.4
    evidence, weights = np.where(silent, 0, evidence) / 64, np.where(silent, 26, 64) / 64
    upper = np.triu(np.ones((count, count), bool), 1)
    evidence = np.where(upper, evidence, 0)
    weights = np.where(upper, weights, 0)
    evidence, weights = evidence + evidence.T, weights + weights.T
    words = [int(rng.integers(1, 4)) if rng.random() < 0.2 else None for _ in range(count)]
    marks = np.array([word or (int(rng.integers(1, 4)) if rng.random() < 0.15 else 0) for word in words], np.int64)
    return evidence, weights, words, marks


@pytest.mark.parametrize("seed", range(60))
def test_groups_are_those_of_a_plain_search(seed):
    evidence, weights, words, marks = drawn(seed)

    labels = link_groups(evidence.copy(), weights.copy(), words, marks)

    found = {frozenset(np.flatnonzero(np.array(labels) == label).tolist()) for label in set(labels)}
    assert found == plain_link(evidence, weights, words, marks)


def test_no_pictures_make_no_groups():
    empty = np.zeros((0, 0))

    assert link_groups(empty, empty.copy(), [], np.zeros(0, np.int64)) == []


def test_a_join_looks_only_at_what_it_changes(monkeypatch):
    """Each picture is looked at once, then about twice a join: 200 places of four pictures, each alike inside."""
    looked = 0
    look = linkage._Groups._look

    def counting(self, group):
        nonlocal looked
        looked += 1
        look(self, group)

    monkeypatch.setattr(linkage._Groups, "_look", counting)
    place = np.arange(800) // 4
    evidence = (place[:, None] == place[None]) * 0.9
    np.fill_diagonal(evidence, 0)

    labels = link_groups(evidence, np.full((800, 800), 0.5), [None] * 800, np.zeros(800, np.int64))

    assert len(set(labels)) == 200
    assert looked < 4 * 800
