"""Sort pictures into spots by what they show, when they were taken and what a person has said."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray, IntArray
from asfound.core.match.belief import ONE_SPOT
from asfound.core.match.likeness import LikenessSummary
from asfound.core.match.linkage import link_groups

LEAST_AGREEING, SURE_AGREEING = 8, 22
"""Fewer agreeing matches say nothing of a pair; from the second on it weighs in full. Chosen among some 500 settings by
how spots come out (docs/decisions/0020)."""
AFAR, AFAR_AGREEING = 1.3, 15
"""A picture outside any spot shows one from afar when things are so much larger in a picture of the spot, and so many
matches agree. Chosen by hand; not measured."""
FARTHEST, MOST_OCTAVES = 0.6, 2.0
"""A greater gap of the middles, in diagonals, and more octaves of scale count as these; chosen by hand, and in use when
the curve was fitted."""
LEAST_RATIO = 1e-3
"""Guards the logarithm of a scale; no two pictures that agree on anything differ by so much."""
SILENCE = 0.4
"""Weight of a pair that agrees on nothing, against one that says much; chosen with the constants of `linkage`."""


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
    named: Collection[int] = (),
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
        Where each picture was last. It decides which ids groups keep, and which pictures a spot holds that a person
        names in a word: a picture put into a spot comes to them, whatever it looks like, and brings nobody along.
    named : collection of int
        Spots that a person gave a name. No two of them become one, nor one of them a part of another spoken of.
    """
    fixed, previous = fixed or {}, previous or {}
    loose = [picture for picture in evidence if fixed.get(picture.picture_id, 0) is not None]
    ids = [picture.picture_id for picture in sorted(loose, key=_by_time)]
    support, spoken = _similarity(ids, likeness)
    words = [fixed.get(picture_id) for picture_id in ids]
    homes = [previous.get(picture_id) for picture_id in ids]
    _hold_back_strangers(support, words, homes)
    spot_of = _name_groups(ids, _groups(link_groups(support, spoken, words, _marks(words, homes, named))), words, homes)
    return Grouping(spot_of, _overviews(evidence, spot_of, likeness))


def without_pairs(spot_of: Mapping[int, int], spoken: Collection[int] = ()) -> dict[int, int]:
    """The pictures of spots that hold more than two, or whose ids are among those a person has `spoken` of.

    Two pictures that have only each other are often each of a larger spot, and look alike because the same parts are
    off; the scenes of the larger spots tell.
    """
    sizes = Counter(spot_of.values())
    return {i: spot_id for i, spot_id in spot_of.items() if sizes[spot_id] > 2 or spot_id in spoken}


def with_placed(spot_of: Mapping[int, int], placed: Mapping[int, int]) -> dict[int, int]:
    """Spots with further pictures placed in them; of a pair that one is taken from, the other is in no spot."""
    broken = {spot_of[i] for i, spot_id in placed.items() if spot_of.get(i, spot_id) != spot_id}
    return {**{i: spot_id for i, spot_id in spot_of.items() if spot_id not in broken}, **placed}


def with_left_where_they_were(
    spot_of: Mapping[int, int], previous: Mapping[int, int], said: Collection[int]
) -> dict[int, int]:
    """Spots with the pictures that fell out of them put back, but for those that a person has `said` where they are.

    For a sort that learns a person's word and sees nothing new: a picture that is taken out takes nobody with it.
    """
    alive = set(spot_of.values())
    return {**{i: home for i, home in previous.items() if home in alive and i not in said}, **spot_of}


def with_joined(spot_of: Mapping[int, int], first: int, second: int, kept: Collection[int] = ()) -> dict[int, int]:
    """Spots with two of them made one.

    It keeps the id that a person has spoken of (`kept`), else one that is not new (negative), else that of the larger.
    """
    sizes = Counter(spot_of.values())
    keep, gone = sorted((first, second), key=lambda spot_id: (spot_id not in kept, spot_id < 0, -sizes[spot_id]))
    return {i: keep if spot_id == gone else spot_id for i, spot_id in spot_of.items()}


def _by_time(picture: PictureEvidence) -> tuple[float, int]:
    """Sorts pictures by time, those without one last, then by id."""
    return (picture.taken_s if picture.taken_s is not None else float("inf"), picture.picture_id)


def spot_probability(summary: LikenessSummary) -> float:
    """Probability that two pictures, met at random among those of a job, are of one spot; 0 where nothing is said."""
    return ONE_SPOT.at(*spot_measures(summary)) if summary.agreeing >= LEAST_AGREEING else 0.0


def spot_measures(summary: LikenessSummary) -> tuple[float, float, float]:
    """What `belief.ONE_SPOT` goes by; for `LEAST_AGREEING` agreeing matches and more."""
    octaves = min(abs(math.log2(max(summary.scale_ratio, LEAST_RATIO))), MOST_OCTAVES)
    return math.log(summary.agreeing / LEAST_AGREEING), min(summary.centre_gap, FARTHEST), octaves


def pair_evidence(summary: LikenessSummary) -> float:
    """What one pair says of its being one spot: 1 surely one, -1 surely two places seen in both, 0 nothing.

    Pictures that agree on much but aim elsewhere speak against; pictures that agree on nothing say nothing, since light
    and removed parts can hide what they share.
    """
    return 2 * spot_probability(summary) - 1 if summary.agreeing >= LEAST_AGREEING else 0.0


def _similarity(ids: list[int], likeness: Mapping[tuple[int, int], LikenessSummary]) -> tuple[FloatArray, FloatArray]:
    """Weighted evidence of each pair, and its weight: that of silence for a pair that agrees on nothing, up to 1.

    The centres of pictures that agree on few matches are told roughly, so that such pairs weigh less.
    """
    index = {picture_id: k for k, picture_id in enumerate(ids)}
    evidence, spoken = np.zeros((len(ids), len(ids))), np.full((len(ids), len(ids)), SILENCE)
    for (first, second), summary in likeness.items():
        if first in index and second in index and summary.agreeing >= LEAST_AGREEING:
            i, j = index[first], index[second]
            sure = min(1.0, (summary.agreeing - LEAST_AGREEING) / (SURE_AGREEING - LEAST_AGREEING))
            weight = SILENCE + (1 - SILENCE) * sure
            evidence[i, j] = evidence[j, i] = weight * pair_evidence(summary)
            spoken[i, j] = spoken[j, i] = weight
    return evidence, spoken


def _marks(words: Sequence[int | None], homes: Sequence[int | None], named: Collection[int]) -> IntArray:
    """The spot that a person spoke of and that each picture is of, 0 where it is of none."""
    known = [home if word is None and home in named else word for word, home in zip(words, homes, strict=True)]
    return np.array([spot_id or 0 for spot_id in known], np.int64)


def _hold_back_strangers(support: FloatArray, words: Sequence[int | None], homes: Sequence[int | None]) -> None:
    """A picture that a person took from among its like says nothing of those any more, or it would bring them along."""
    for k, word in enumerate(words):
        if word is None:
            continue
        held = [
            j for j, home in enumerate(homes) if j != k and (words[j] == word or (words[j] is None and home == word))
        ]
        elsewhere = [j for j, home in enumerate(homes) if home not in (None, word) and words[j] is None]
        if support[k, elsewhere].sum() > 0 and support[k, elsewhere].sum() >= support[k, held].sum():
            support[k, elsewhere] = support[elsewhere, k] = 0.0
        left = [j for j in elsewhere if homes[j] == homes[k]]
        support[k, left] = support[left, k] = np.minimum(support[k, left], 0.0)


def _groups(labels: list[int]) -> list[list[int]]:
    """Positions of the pictures of each group."""
    by_label: dict[int, list[int]] = {}
    for k, label in enumerate(labels):
        by_label.setdefault(label, []).append(k)
    return list(by_label.values())


def _name_groups(
    ids: Sequence[int], groups: list[list[int]], words: Sequence[int | None], homes: Sequence[int | None]
) -> dict[int, int]:
    """Ids of a person's word first, then of the previous sort by greatest overlap, then new negative ones.

    Pictures of a spot that a person put others into stay in it. One picture alone is a spot only by a person's word.
    """
    said = {word: group for group in groups if (word := _word(group, words)) is not None}
    unnamed = [group for group in groups if _word(group, words) is None]
    claims = sorted(
        (-sum(homes[k] == spot for k in group), spot, number)
        for number, group in enumerate(unnamed)
        for spot in {home for home in (homes[k] for k in group) if home is not None}
        if len(group) > 1 or spot in said
    )
    named: dict[int, int] = {}
    for overlap, spot, number in claims:
        own = sum(homes[k] == spot and words[k] is None for k in said.get(spot, []))
        if number not in named and spot not in named.values() and own < -overlap:
            named[number] = spot
    fresh = min([0, *said, *named.values()]) - 1
    spot_of = {ids[k]: word for word, group in said.items() for k in group}
    for number, group in enumerate(unnamed):
        if number not in named and len(group) > 1:
            named[number], fresh = fresh, fresh - 1
        if number in named:
            spot_of.update((ids[k], named[number]) for k in group)
    return spot_of


def _word(group: Sequence[int], words: Sequence[int | None]) -> int | None:
    """The spot that a person put one of a group's pictures into, None where nobody did."""
    return next((words[k] for k in group if words[k] is not None), None)


def _overviews(
    evidence: Sequence[PictureEvidence], spot_of: Mapping[int, int], likeness: Mapping[tuple[int, int], LikenessSummary]
) -> dict[int, tuple[int, ...]]:
    """Spots that pictures outside any spot show smaller than the spot's own pictures do."""
    outside = {picture.picture_id for picture in evidence} - spot_of.keys()
    seen: dict[int, dict[int, int]] = {}
    for (first, second), summary in likeness.items():
        for far, near, scale in ((first, second, summary.scale_ratio), (second, first, 1 / summary.scale_ratio)):
            if far in outside and near in spot_of and scale > AFAR and summary.agreeing >= AFAR_AGREEING:
                strength = seen.setdefault(far, {})
                strength[spot_of[near]] = max(strength.get(spot_of[near], 0), summary.agreeing)
    return {far: tuple(sorted(spots, key=lambda s: (-spots[s], s))) for far, spots in sorted(seen.items())}
