"""Find the originals of any photo, near or far and turned.

The photo meets the landmarks of the places that come into question. Their votes say which place it shows; where a pose
drawn from the votes holds in the place's scene, that bears it out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from asfound.core.match.arrays import Float32Array, IntArray
from asfound.core.match.belief import SHOWN_ALONE, SHOWN_BOTH_SIZES, SHOWN_ONE_SIZE, SUREST
from asfound.core.match.landmarks import Landmarks, Vote, collect_votes
from asfound.core.match.query_photo import QueryPhoto, Sized
from asfound.core.match.reconstruct import holds
from asfound.core.match.resection import PoseEstimate, check_pose, estimate_pose
from asfound.core.match.scene import Scene

# How many matches agree by chance grows with the root of all matches (docs/decisions/0021).
CHANCE_SHARE = 0.3
MOST_EXCESS = 5.0
"""Excess of a pose beyond this bears a place out no further; chosen by hand, and in use when the curves were fitted."""
LEAST_PROBABILITY, SURE_PROBABILITY = 0.25, 0.7
"""From the first a place is named as one that it may be, from the second as the one it is. The odds are for a photo
that is as likely of another machine; whoever stands before this one may be bolder."""
SETTLED_PROBABILITY = 0.95
"""A photo as sure as this of one place is not looked at in a second size."""
BORNE_OUT = 3
"""So many places, the likeliest, are tried for a pose that holds."""
VOTE_SAMPLES = 500
"""Samples for a pose from votes, which agree already. Chosen by hand; not measured."""
SHOWN_OF_FIRST, SHOWN_OF_EACH = 3, 2
"""Pictures given of the surest place and of each other one, before the rest. Chosen by hand; not measured."""


@dataclass(frozen=True, eq=False)
class Look:
    """One size of a photo against one place.

    Attributes
    ----------
    sized : Sized
    likeness : ndarray of shape (n, m), float32
        Of the photo's keypoints to the place's landmarks.
    votes : list of Vote
        The largest first.
    putative : int
        Matches in all.
    pose : PoseEstimate or None
        Of the photo in the place's scene; None where none was found or tried.
    """

    sized: Sized
    likeness: Float32Array
    votes: list[Vote]
    putative: int
    pose: PoseEstimate | None = None

    @property
    def score(self) -> float:
        """Matches that agree, against what chance gives for so many matches."""
        return len(self.votes[0].matches) / math.sqrt(1 + CHANCE_SHARE * self.putative) if self.votes else 0.0

    @property
    def excess(self) -> float:
        """How well the pose is borne out, as in `PoseEstimate`, 0 to `MOST_EXCESS`."""
        return 0.0 if self.pose is None else min(max(self.pose.excess, 0.0), MOST_EXCESS)

    def matches(self) -> IntArray:
        """Keypoint of the photo and landmark, (k, 2): those of the pose where it holds, else the largest vote's."""
        if self.pose is not None and holds(self.pose):
            return np.column_stack([self.pose.keypoints, self.pose.points])
        return self.votes[0].matches if self.votes else np.zeros((0, 2), np.int64)


@dataclass(frozen=True, eq=False)
class Sight:
    """What a photo shares with a place, looked at in one size or two."""

    place: Landmarks
    looks: tuple[Look, ...]

    @property
    def score(self) -> float:
        """Mean of the scores of the sizes the photo was looked at in."""
        return sum(look.score for look in self.looks) / len(self.looks)

    @property
    def best(self) -> Look:
        """The size that bears the place out best."""
        return max(self.looks, key=lambda look: (look.excess, look.score))

    @property
    def probability(self) -> float:
        """Probability that the photo shows the place, 0 to 1."""
        by_sizes = SHOWN_ONE_SIZE if len(self.looks) == 1 else SHOWN_BOTH_SIZES
        curve = by_sizes if len(self.place.scene.points) else SHOWN_ALONE
        return curve.at(self.score, self.best.excess)

    def is_of(self, other: Sight) -> bool:
        """Whether both are of one place: one of them holds pictures of the other."""
        return bool(np.isin(self.place.picture_ids, other.place.picture_ids).any())


@dataclass(frozen=True, eq=False)
class Original:
    """A picture that shows what the photo shows.

    Attributes
    ----------
    picture_id : int
    probability : float
        That the photo shows its place.
    agreeing : int
        Matches with it that agree.
    sight : Sight
    """

    picture_id: int
    probability: float
    agreeing: int
    sight: Sight


def find_places(
    photo: QueryPhoto, places: Iterable[Landmarks], pictures: Iterable[Landmarks] = (), *, seed: int = 1
) -> list[Sight]:
    """What the photo shares with what comes into question, likeliest first, however unlikely.

    Parameters
    ----------
    photo : QueryPhoto
    places : iterable of Landmarks
        Of scenes. All are met: spots that lie close together show in each other's pictures.
    pictures : iterable of Landmarks
        Of pictures on their own, asked for only when no place is sure: one of them may show the place in a light, or
        with parts off, that its scene does not know.
    """
    ranked = _borne_out([Sight(place, (look_for(photo.first, place),)) for place in places], seed)
    if ranked and ranked[0].probability >= SETTLED_PROBABILITY:
        return ranked
    ranked = _borne_out([seen_again(photo, sight) for sight in ranked], seed)
    if ranked and ranked[0].probability >= SETTLED_PROBABILITY:
        return ranked
    return by_probability([*ranked, *(Sight(picture, (look_for(photo.second, picture),)) for picture in pictures)])


def by_probability(sights: Iterable[Sight]) -> list[Sight]:
    """The sights in order of probability, the likeliest first; equals by score."""
    return sorted(sights, key=lambda sight: (-sight.probability, -sight.score))


def find_originals(
    photo: QueryPhoto,
    places: Iterable[Landmarks],
    pictures: Iterable[Landmarks] = (),
    *,
    seed: int = 1,
    least: float = LEAST_PROBABILITY,
) -> list[Original]:
    """The pictures that show what the photo shows, surest first; empty for "nothing here".

    Pictures of places that it only may show (`least`) are given where it surely shows none (`SURE_PROBABILITY`).

    Parameters
    ----------
    photo, places, pictures
        As `find_places` takes them.
    seed : int
        Of the robust estimates.
    least : float
        Least probability of a place that is given.
    """
    sights = find_places(photo, places, pictures, seed=seed)
    likely = [sight for sight in sights if sight.probability >= least]
    named = [sight for sight in likely if sight.probability >= SURE_PROBABILITY] or likely
    said = {id(sight): probability_among(sight, sights) for sight in named}
    ranked = rank_originals(sorted(named, key=lambda sight: -said[id(sight)]))
    return [replace(original, probability=said[id(original.sight)]) for original in ranked]


def probability_among(sight: Sight, others: Iterable[Sight]) -> float:
    """That the photo shows the place, given that it shows no more than one.

    The odds of the place, of its likeliest rival and of none stand side by side.
    """
    mine = _odds(sight.probability)
    rival = max((_odds(other.probability) for other in others if not other.is_of(sight)), default=0.0)
    return mine / (1 + mine + rival)


def _odds(probability: float) -> float:
    """Of a probability, which none of these curves says to be one."""
    return probability / (1 - min(probability, SUREST))


def rank_originals(sights: Sequence[Sight]) -> list[Original]:
    """`SHOWN_OF_FIRST` of the surest place, `SHOWN_OF_EACH` of each other, then the rest: a person looks at five."""
    first, rest = [], []
    given: set[int] = set()
    for k, sight in enumerate(sights):
        shared = _shared(sight)
        order = sorted(range(len(shared)), key=lambda row: (-shared[row], int(sight.place.picture_ids[row])))
        ranked = [
            Original(int(sight.place.picture_ids[row]), sight.probability, shared[row], sight)
            for row in order
            if shared[row] and int(sight.place.picture_ids[row]) not in given
        ]
        given |= {original.picture_id for original in ranked}
        most = SHOWN_OF_EACH if k else SHOWN_OF_FIRST
        first += ranked[:most]
        rest += ranked[most:]
    return first + rest


def seen_again(photo: QueryPhoto, sight: Sight) -> Sight:
    """The sight with a look at the second size."""
    return replace(sight, looks=(*sight.looks, look_for(photo.second, sight.place)))


def look_for(sized: Sized, place: Landmarks) -> Look:
    """What a photo at one size shares with a place."""
    likeness = place.likeness(sized.unit)
    votes, putative = collect_votes(sized.features, likeness, place)
    return Look(sized, likeness, votes, putative)


def _shared(sight: Sight) -> list[int]:
    """How many of the matches each picture of the place shows."""
    sightings = sight.place.sightings
    seen = np.isin(sightings[:, 2], sight.best.matches()[:, 1])
    return [int(count) for count in np.bincount(sightings[seen, 0], minlength=len(sight.place.picture_ids))]


def _borne_out(sights: Sequence[Sight], seed: int) -> list[Sight]:
    """The sights by probability, the likeliest ones with a pose in the last size where their votes lead to one."""
    ranked = sorted(sights, key=lambda sight: -sight.score)
    for k, sight in enumerate(ranked[:BORNE_OUT]):
        last = replace(sight.looks[-1], pose=_pose_of_votes(sight.looks[-1], sight.place.scene, seed))
        ranked[k] = replace(sight, looks=(*sight.looks[:-1], last))
    return by_probability(ranked)


def _pose_of_votes(look: Look, scene: Scene, seed: int) -> PoseEstimate | None:
    """The best of the poses that each picture's votes lead to.

    Votes agree on the whole, so that few samples find what agrees in depth as well; samples drawn from all matches find
    more wrong poses than right ones.
    """
    best: PoseEstimate | None = None
    if not len(scene.points):
        return None
    seen, size, focal = look.sized.from_middle_px, look.sized.features.size_px, look.sized.focal_px
    for vote in look.votes:
        points, at = scene.points[vote.matches[:, 1]], seen[vote.matches[:, 0]]
        found = estimate_pose(points, at, focal, size, seed=seed, iterations=VOTE_SAMPLES)
        if found is None:
            continue
        pose = check_pose(scene.points, look.likeness, seen, found[0], seed=seed)
        if pose is not None and (best is None or pose.excess > best.excess):
            best = pose
    return best
