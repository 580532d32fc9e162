"""Find the originals of any photo, near or far and turned, and draw the known pins on it.

A close-up of a joint shares little with any one picture, but the scene of its spot predicts all of it: so the photo is
first placed in the scenes, and only what no scene explains is compared picture by picture.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import GrayImage
from asfound.core.match.carry import CarriedPin, HandPin, carry_pins, oriented
from asfound.core.match.features import Features, detect_features
from asfound.core.match.likeness import Likeness
from asfound.core.match.pixels import reduce_gray
from asfound.core.match.reconstruct import holds, locate_picture, place_in_scene
from asfound.core.match.resection import PoseEstimate
from asfound.core.match.scene import Scene, ScenePicture, build_scene, empty_scene
from asfound.core.match.verify import verify_pair

# A close-up shows a joint about three times larger than the pictures of the spot do: smaller copies meet them halfway.
QUERY_SIDES_PX = (640, 400)
# Trying longer to place a photo costs more and finds more wrong places than right ones.
QUICK = 4000
QUERY_ID = -1
LEAST_PROBABILITY = 0.2
FAMILY_AGREEING = 15
# Set by hand from few placings, see docs/decisions/0020: right ones lie at 7 and more, wrong ones mostly below 8.
HALF_EXCESS, EXCESS_WIDTH = 8.0, 1.5
SETTLED_EXCESS = 25.0
"""A photo that a scene bears out by this much need not be tried in others."""


@dataclass(frozen=True, eq=False)
class Original:
    """A picture that shows what the query shows.

    Attributes
    ----------
    picture_id : int
    probability : float
        That both show one place.
    likeness : Likeness
        From the query's features number `query_scale` to the picture.
    query_scale : int
        Index of the query's features used.
    excess : float
        How well the scene of the picture bears the query out, as in `PoseEstimate`, added up over the query's sizes; 0
        for a picture that was compared on its own.
    """

    picture_id: int
    probability: float
    likeness: Likeness
    query_scale: int
    excess: float = 0.0


def describe_query(gray: GrayImage, *, method: str = "sift") -> tuple[Features, ...]:
    """Features of a query photo at several sizes, the largest first."""
    return tuple(detect_features(reduce_gray(gray, side), method=method) for side in QUERY_SIDES_PX)


def find_originals(
    query: Sequence[Features],
    candidates: Iterable[ScenePicture],
    *,
    scenes: Iterable[tuple[Scene, Sequence[ScenePicture]]] = (),
    query_focal_px: float | None = None,
    seed: int = 1,
    least: float = LEAST_PROBABILITY,
) -> list[Original]:
    """The pictures that show what the query shows, surest first; empty for "nothing here".

    Parameters
    ----------
    query : sequence of Features
        As `describe_query` gives them.
    candidates : iterable of ScenePicture
        Compared one by one, and asked for only when no scene takes the query in.
    scenes : iterable of (Scene, sequence of ScenePicture)
        The scenes that come into question, the likeliest first, each with the pictures it places. No further one is
        asked for once the query has settled. With them close-ups are found that no single picture answers, at about a
        third of a second of one core for each.
    query_focal_px : float or None
        At the size of `query[0]`.
    """
    placed: list[Original] = []
    for scene, pictures in scenes:
        placed += place_query(query, scene, pictures, query_focal_px, seed=seed)
        if is_settled(placed):
            break
    return rank_placed(placed) or rank_compared(query, candidates, seed=seed, least=least)


def place_query(
    query: Sequence[Features],
    scene: Scene,
    pictures: Sequence[ScenePicture],
    focal_px: float | None,
    *,
    seed: int = 1,
) -> list[Original]:
    """The pictures of one scene, with what the query shares with each; empty when it cannot be placed there."""
    by_id = {picture.picture_id: picture for picture in pictures}
    held: list[tuple[PoseEstimate, int]] = []
    for scale in reversed(range(len(query))):
        pose = locate_picture(scene, pictures, _as_picture(query, scale, focal_px), seed=seed, iterations=QUICK)
        if pose is not None and holds(pose):
            held.append((pose, scale))
    if not held:
        return []
    pose, scale = max(held, key=lambda each: each[0].excess)
    excess = sum(each.excess for each, _ in held)
    probability = placed_probability(excess)
    out = []
    for row, picture_id in enumerate(scene.picture_ids):
        mine = scene.sightings[scene.sightings[:, 0] == row]
        _, in_mine, in_pose = np.intersect1d(mine[:, 2], pose.points, return_indices=True)
        matches = np.column_stack([pose.keypoints[in_pose], mine[in_mine, 1]]).astype(np.int32)
        if len(matches):
            likeness = _likeness_of(matches, probability)
            out.append(Original(by_id[int(picture_id)].picture_id, probability, likeness, scale, excess))
    return out


def placed_probability(excess: float) -> float:
    """Probability that a photo placed in a scene was taken there, from how well all its sizes bear that out.

    A wrong pose seldom holds at a second size as well, so that what every size says is added up.
    """
    return 1 / (1 + math.exp(-(excess - HALF_EXCESS) / EXCESS_WIDTH))


def is_settled(placed: Sequence[Original]) -> bool:
    """Whether some scene bears the query out so well that no other need be tried."""
    return any(original.excess >= SETTLED_EXCESS for original in placed)


def rank_placed(placed: Sequence[Original]) -> list[Original]:
    """Those more likely right than wrong, surest first."""
    sure = [original for original in placed if original.probability >= 0.5]
    return _take_turns(sorted(sure, key=lambda o: (-o.excess, -o.likeness.agreeing, o.picture_id)))


def rank_compared(
    query: Sequence[Features], candidates: Iterable[ScenePicture], *, seed: int = 1, least: float = LEAST_PROBABILITY
) -> list[Original]:
    """Pictures that agree with the query on their own, surest first."""
    compared = [_compared_original(query, picture, seed) for picture in candidates]
    found = [original for original in compared if original.probability >= least]
    return sorted(found, key=lambda o: (-o.likeness.agreeing, o.picture_id))


def _take_turns(ranked: list[Original]) -> list[Original]:
    """Three of the surest place, two of each other one, then the rest: a person looks at five, not at one place."""
    places: dict[float, list[Original]] = {}
    for original in ranked:
        places.setdefault(original.excess, []).append(original)
    first = [original for k, mine in enumerate(places.values()) for original in mine[: 2 if k else 3]]
    return first + [original for original in ranked if original not in first]


def _likeness_of(matches: np.ndarray[tuple[int, int], np.dtype[np.int32]], probability: float) -> Likeness:
    count = len(matches)
    return Likeness(
        matches=matches,
        agrees=np.ones(count, np.bool_),
        inliers=count,
        agreeing=count,
        probability=probability,
        centre_gap=math.inf,
        scale_ratio=1.0,
        fundamental=None,
        homography=None,
        degenerate=None,
    )


def _compared_original(query: Sequence[Features], picture: ScenePicture, seed: int) -> Original:
    likenesses = [verify_pair(features, picture.features, seed=seed) for features in query]
    best = max(range(len(likenesses)), key=lambda k: likenesses[k].agreeing)
    return Original(picture.picture_id, likenesses[best].probability, likenesses[best], best)


def _as_picture(query: Sequence[Features], scale: int, focal_px: float | None) -> ScenePicture:
    features = query[scale]
    focal = None if focal_px is None else focal_px * max(features.size_px) / max(query[0].size_px)
    return ScenePicture(QUERY_ID, features, focal)


def carry_to_query(
    hand_pins: Sequence[HandPin],
    query: Sequence[Features],
    query_focal_px: float | None,
    originals: Sequence[Original],
    pictures: Sequence[ScenePicture],
    likenesses: Mapping[tuple[int, int], Likeness],
    *,
    load_gray: Callable[[int], GrayImage],
    scenes: Sequence[Scene] = (),
    seed: int = 1,
) -> list[CarriedPin]:
    """Carry hand pins into the query photo; each result's `picture_id` is `QUERY_ID`.

    Parameters
    ----------
    query_focal_px : float or None
        At the size of `query[0]`.
    originals : sequence of Original
        As `find_originals` gives them.
    pictures, likenesses
        Of the spots that the originals belong to, as for `carry_pins`.
    load_gray : callable
        Also asked for `QUERY_ID`.
    scenes : sequence of Scene
        Of those spots; without them one is built of the pictures most like the first original, which takes seconds.
    """
    if not originals:
        return []
    mine = _as_picture(query, originals[0].query_scale, query_focal_px)
    by_id = {picture.picture_id: picture for picture in pictures}
    best: dict[object, CarriedPin] = {}
    for scene in scenes or [_family_scene(originals[0].picture_id, pictures, likenesses, seed)]:
        members = [by_id[int(i)] for i in scene.picture_ids if int(i) in by_id]
        placed = place_in_scene(scene, members, mine, seed=seed) if len(members) == len(scene.picture_ids) else None
        if placed is None:
            continue
        ids = {picture.picture_id for picture in members}
        pins = [pin for pin in hand_pins if pin.picture_id in ids]
        for pin in carry_pins(
            pins, [*members, mine], {}, load_gray=load_gray, scene=placed, seed=seed, onto=[QUERY_ID]
        ):
            if pin.key not in best or pin.confidence > best[pin.key].confidence:
                best[pin.key] = pin
    if best:
        return list(best.values())
    extended = {(QUERY_ID, o.picture_id): o.likeness for o in originals if o.query_scale == originals[0].query_scale}
    near = [by_id[o.picture_id] for o in originals if o.picture_id in by_id]
    return carry_pins(
        hand_pins, [*near, mine], extended, load_gray=load_gray, scene=empty_scene(), seed=seed, onto=[QUERY_ID]
    )


def _family_scene(
    picture_id: int, pictures: Sequence[ScenePicture], likenesses: Mapping[tuple[int, int], Likeness], seed: int
) -> Scene:
    """A scene of a picture and those that look like it."""
    family = []
    for picture in pictures:
        likeness = oriented(likenesses, picture_id, picture.picture_id)
        if picture.picture_id == picture_id or (likeness is not None and likeness.agreeing >= FAMILY_AGREEING):
            family.append(picture)
    return build_scene(family, likenesses, seed=seed)
