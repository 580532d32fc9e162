"""Tracks: keypoints of several pictures that are sightings of one point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from asfound.core.match.arrays import IntArray
from asfound.core.match.likeness import Likeness


def build_tracks(counts: Sequence[int], matches: Mapping[tuple[int, int], IntArray]) -> IntArray:
    """Join matches into tracks.

    Parameters
    ----------
    counts : sequence of int
        Keypoints of each picture, by row.
    matches : mapping of (row, row) to ndarray of shape (m, 2), int32

    Returns
    -------
    ndarray of shape (k, 3), int32
        Sightings: picture row, keypoint, track; sorted by track. A track sees each picture once at most: where matches
        disagree about a picture, that picture's sightings are dropped from the track.
    """
    starts = np.concatenate([[0], np.cumsum(counts)]).astype(np.int64)
    edges = [
        np.column_stack([starts[a] + pairs[:, 0], starts[b] + pairs[:, 1]])
        for (a, b), pairs in sorted(matches.items())
        if len(pairs)
    ]
    if not edges:
        return np.zeros((0, 3), np.int32)
    labels = _components(int(starts[-1]), np.concatenate(edges))
    nodes = np.unique(np.concatenate(edges))
    pictures = np.searchsorted(starts, nodes, side="right") - 1
    tracks = labels[nodes]
    keys = tracks * len(counts) + pictures
    _, inverse, repeats = np.unique(keys, return_inverse=True, return_counts=True)
    single = repeats[inverse] == 1
    nodes, pictures, tracks = nodes[single], pictures[single], tracks[single]
    _, inverse, sizes = np.unique(tracks, return_inverse=True, return_counts=True)
    keep = sizes[inverse] > 1
    _, tracks = np.unique(tracks[keep], return_inverse=True)
    sightings = np.column_stack([pictures[keep], nodes[keep] - starts[pictures[keep]], tracks]).astype(np.int32)
    return np.ascontiguousarray(sightings[np.lexsort((sightings[:, 0], sightings[:, 2]))])


def reliable_matches(likeness: Likeness, least: int) -> IntArray:
    """The matches of a likeness that agree with their neighbours, none when fewer than `least`."""
    if likeness.agreeing < least:
        return np.zeros((0, 2), np.int32)
    return likeness.matches[likeness.agrees]


def _components(count: int, edges: IntArray) -> IntArray:
    """Connected components: the least node of each node's component, by repeated pointer jumping."""
    labels = np.arange(count)
    while True:
        low = np.minimum(labels[edges[:, 0]], labels[edges[:, 1]])
        before = labels.copy()
        np.minimum.at(labels, edges[:, 0], low)
        np.minimum.at(labels, edges[:, 1], low)
        labels = labels[labels]
        if (labels == before).all():
            return labels
