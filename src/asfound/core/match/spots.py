"""Sort pictures into spots by what they show, when they were taken and what a person has said."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import BoolArray, FloatArray
from asfound.core.match.likeness import LikenessSummary

# Measured on rendered bays: of pictures of different spots, hardly any two agree on 12 matches with centres this near.
LEAST_AGREEING, SURE_AGREEING = 8, 22
NEAR_GAP, FAR_GAP = 0.12, 0.26
APART_GAP = 0.3
JOIN = 0.4
LONE_SUPPORT, GROUP_SUPPORT = 0.5, 0.9
SILENCE = 0.25
BURST_S = 45.0
BURST_BONUS = 0.3
FAR_SCALE = 1.5


@dataclass(frozen=True)
class PictureEvidence:
    """What is known of a picture besides its likeness to others.

    Attributes
    ----------
    picture_id : int
    taken_s : float or None
        Seconds on any common clock.
    phash : int or None
        64-bit perceptual hash.
    """

    picture_id: int
    taken_s: float | None = None
    phash: int | None = None


@dataclass(frozen=True)
class Grouping:
    """Pictures in spots.

    Attributes
    ----------
    spot_of : dict of int to int
        Spot id by picture id; pictures in no spot are left out. A spot keeps the id of the previous sort or of a
        person's word; new ones get negative ids, -1, -2, ... in the order of their first picture's time.
    overviews : dict of int to tuple of int
        For pictures in no spot that show spots from afar: the spot ids, surest first.
    """

    spot_of: dict[int, int]
    overviews: dict[int, tuple[int, ...]]


def group_spots(
    evidence: Sequence[PictureEvidence],
    likeness: Mapping[tuple[int, int], LikenessSummary],
    *,
    fixed: Mapping[int, int | None] | None = None,
    previous: Mapping[int, int] | None = None,
) -> Grouping:
    """Group pictures into spots by what their likenesses say for and against.

    Two groups join while the mean evidence of those of their pairs that say anything stays high, so that one chance
    likeness never chains two spots. Pairs that were not compared, or agree on nothing, say nothing.

    Parameters
    ----------
    evidence : sequence of PictureEvidence
    likeness : mapping of (picture_id, picture_id) to LikenessSummary
        Either order of the ids, each pair once.
    fixed : mapping of picture id to spot id or None
        A person's word, kept whatever the pictures look like; None means in no spot.
    previous : mapping of picture id to spot id
        The last sort, which only decides which ids groups keep.
    """
    fixed = fixed or {}
    loose = [picture for picture in evidence if fixed.get(picture.picture_id, 0) is not None]
    ids = [picture.picture_id for picture in sorted(loose, key=_by_time)]
    support, spoken = _similarity(ids, {p.picture_id: p for p in loose}, likeness)
    words = [fixed.get(picture_id) for picture_id in ids]
    labels = _link(support, spoken, words)
    labels = _without_far_views(ids, labels, words, likeness)
    groups = _groups(ids, labels, words)
    spot_of = _name_groups(groups, fixed, previous or {})
    return Grouping(spot_of, _overviews(evidence, spot_of, likeness))


def _by_time(picture: PictureEvidence) -> tuple[float, int]:
    return (picture.taken_s if picture.taken_s is not None else float("inf"), picture.picture_id)


def pair_evidence(summary: LikenessSummary, gap_s: float | None) -> float:
    """What one pair says of its being one spot: 1 surely one, -1 surely two places seen in both, 0 nothing.

    Pictures that agree on much but aim elsewhere speak against; pictures that agree on nothing say nothing, since light
    and removed parts can hide what they share.
    """
    strength = float(np.clip((summary.agreeing - LEAST_AGREEING) / (SURE_AGREEING - LEAST_AGREEING), 0, 1))
    if strength == 0:
        return 0.0
    if summary.centre_gap > APART_GAP:
        return -strength
    nearness = float(np.clip((FAR_GAP - summary.centre_gap) / (FAR_GAP - NEAR_GAP), 0, 1))
    if gap_s is not None and gap_s < BURST_S and nearness > 0:
        strength = min(1.0, strength + BURST_BONUS)
    return strength * nearness


def _similarity(
    ids: list[int], by_id: Mapping[int, PictureEvidence], likeness: Mapping[tuple[int, int], LikenessSummary]
) -> tuple[FloatArray, FloatArray]:
    """Evidence of each pair, and the weight of its saying: a pair that agrees on nothing counts a little against."""
    index = {picture_id: k for k, picture_id in enumerate(ids)}
    evidence, spoken = np.zeros((len(ids), len(ids))), np.full((len(ids), len(ids)), SILENCE)
    for (first, second), summary in likeness.items():
        if first not in index or second not in index:
            continue
        times = by_id[first].taken_s, by_id[second].taken_s
        gap = None if times[0] is None or times[1] is None else abs(times[0] - times[1])
        i, j = index[first], index[second]
        evidence[i, j] = evidence[j, i] = pair_evidence(summary, gap)
        spoken[i, j] = spoken[j, i] = 1.0 if summary.agreeing >= LEAST_AGREEING else SILENCE
    return evidence, spoken


def _link(evidence: FloatArray, spoken: FloatArray, words: Sequence[int | None]) -> list[int]:
    """Agglomerate with a person's words as hard constraints; a label per picture.

    Sums over groups are kept and added when groups join, so a step costs one pass over the group table.
    """
    count = len(evidence)
    label_of = np.arange(count)
    for k, word in enumerate(words):
        if word is not None:
            label_of[k] = words.index(word)
    belongs = (label_of[:, None] == np.arange(count)[None]).astype(np.float64)
    total, told = belongs.T @ evidence @ belongs, belongs.T @ spoken @ belongs
    sizes = belongs.sum(axis=0)
    has_word = np.array([word is not None for word in words], dtype=np.bool_)
    while (best := _best_join(total, told, sizes, has_word)) is not None:
        keep, gone = best
        for table in (total, told):
            table[keep] += table[gone]
            table[:, keep] += table[:, gone]
        sizes[keep] += sizes[gone]
        sizes[gone] = 0
        has_word[keep] |= has_word[gone]
        label_of[label_of == gone] = keep
    return [int(label) for label in label_of]


def _best_join(total: FloatArray, told: FloatArray, sizes: FloatArray, has_word: BoolArray) -> tuple[int, int] | None:
    """The two groups with the best mean evidence among pairs that say anything, None when none is good enough."""
    alive = sizes > 0
    allowed = alive[:, None] & alive[None] & ~(has_word[:, None] & has_word[None])
    lone = np.minimum(sizes[:, None], sizes[None]) < 2
    allowed &= total >= np.where(lone, LONE_SUPPORT, GROUP_SUPPORT)
    mean = np.where(allowed, total / np.maximum(told, 0.5), -1.0)
    np.fill_diagonal(mean, -1.0)
    if mean.size == 0 or mean.max() < JOIN:
        return None
    first, second = np.unravel_index(int(mean.argmax()), mean.shape)
    return int(min(first, second)), int(max(first, second))


def _without_far_views(
    ids: list[int], labels: list[int], words: Sequence[int | None], likeness: Mapping[tuple[int, int], LikenessSummary]
) -> list[int]:
    """Labels in which a picture that agrees most with another group, and shows that one from afar, stands alone."""
    label_of = dict(zip(ids, labels, strict=True))
    own, other = dict.fromkeys(ids, 0), dict.fromkeys(ids, (0, 1.0))
    for (first, second), summary in likeness.items():
        if first not in label_of or second not in label_of:
            continue
        for here, there, scale in ((first, second, summary.scale_ratio), (second, first, 1 / summary.scale_ratio)):
            if label_of[here] == label_of[there]:
                own[here] = max(own[here], summary.agreeing)
            elif labels.count(label_of[there]) > 1:
                other[here] = max(other[here], (summary.agreeing, scale))
    alone = max(labels, default=0) + 1
    return [
        alone + k
        if words[k] is None and other[i][0] > own[i] and other[i][0] >= SURE_AGREEING and other[i][1] > FAR_SCALE
        else label
        for k, (i, label) in enumerate(zip(ids, labels, strict=True))
    ]


def _groups(ids: list[int], labels: list[int], words: Sequence[int | None]) -> list[list[int]]:
    by_label: dict[int, list[int]] = {}
    for picture_id, label in zip(ids, labels, strict=True):
        by_label.setdefault(label, []).append(picture_id)
    spoken = {picture_id for picture_id, word in zip(ids, words, strict=True) if word is not None}
    return [group for group in by_label.values() if len(group) > 1 or group[0] in spoken]


def _name_groups(
    groups: list[list[int]], fixed: Mapping[int, int | None], previous: Mapping[int, int]
) -> dict[int, int]:
    """Ids of a person's word first, then of the previous sort by greatest overlap, then new negative ones."""
    spot_of: dict[int, int] = {}
    taken: set[int] = set()
    unnamed: list[list[int]] = []
    for group in groups:
        word = next((fixed[p] for p in group if fixed.get(p) is not None), None)
        if word is None:
            unnamed.append(group)
            continue
        taken.add(word)
        spot_of.update(dict.fromkeys(group, word))
    claims = sorted(
        (
            (-sum(previous.get(p) == spot for p in group), spot, k)
            for k, group in enumerate(unnamed)
            for spot in {previous[p] for p in group if p in previous}
        ),
    )
    named: dict[int, int] = {}
    for _, spot, k in claims:
        if k not in named and spot not in taken:
            named[k] = spot
            taken.add(spot)
    fresh = min([0, *taken]) - 1
    for k, group in enumerate(unnamed):
        if k not in named:
            named[k], fresh = fresh, fresh - 1
        spot_of.update(dict.fromkeys(group, named[k]))
    return spot_of


def _overviews(
    evidence: Sequence[PictureEvidence], spot_of: Mapping[int, int], likeness: Mapping[tuple[int, int], LikenessSummary]
) -> dict[int, tuple[int, ...]]:
    """Spots that pictures outside any spot show smaller than the spot's own pictures do."""
    outside = {picture.picture_id for picture in evidence} - spot_of.keys()
    seen: dict[int, dict[int, int]] = {}
    for (first, second), summary in likeness.items():
        for far, near, scale in ((first, second, summary.scale_ratio), (second, first, 1 / summary.scale_ratio)):
            if far in outside and near in spot_of and scale > 1.3 and summary.agreeing >= 15:
                strength = seen.setdefault(far, {})
                strength[spot_of[near]] = max(strength.get(spot_of[near], 0), summary.agreeing)
    return {far: tuple(sorted(spots, key=lambda s: (-spots[s], s))) for far, spots in sorted(seen.items())}
