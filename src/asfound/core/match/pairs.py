"""Which pictures of a spot show it before and after something was removed or refitted."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from asfound.core.match.arrays import GrayImage
from asfound.core.match.likeness import Likeness

PairKind = Literal["removed", "refitted", "changed"]
SpotState = Literal["whole", "off", "back"]
LoadGray = Callable[[int], GrayImage]

# Pictures of a spot this close in time belong to one stint of work, in which its state is taken to be one.
STINT_S = 3 * 3600.0
PAUSE_S = 600.0
"""Within a stint a longer pause than this between two pictures of a spot is time to take something off or to fit it: a
person takes the pictures of one state one after the other. Chosen by hand; on rendered jobs they lie within 1.7
minutes."""
# A job rests for weeks with its parts off; shorter gaps are the days of one effort.
REST_S = 7 * 86400.0
# Share of keypoints that two pictures of one state in one light have in common at least; see tests/bench/matching.py.
SAME_SHARE = 0.35
MOST_KEYPOINTS = 4096
"""As many as a picture has at most (`sift.MOST`)."""
MANY_AGREEING = 20
"""From so many agreeing matches two pictures surely show the same of the spot. Chosen by hand; not measured."""
LEAST_SEEN = 0.5
"""How sure a pair is whose pictures share nothing, against one whose pictures share much. Chosen by hand; not
measured."""
SURE_PAIR, SURE_CHANGE, LIKELY_CHANGE = 0.9, 0.7, 0.5
"""How sure it is that something came off or went back between two stints, or where the log says so; that something
changed between the first and the last; and that something changed during a pause. Chosen by hand; not measured."""
SCORE_DIGITS = 3


@dataclass(frozen=True)
class SpotPicture:
    """A picture of the spot and when it was taken, in seconds on any common clock."""

    picture_id: int
    taken_s: float | None


@dataclass(frozen=True)
class ProposedPair:
    """Two pictures of a spot in different states, `before` the earlier; `score` 0 to 1, the surest first."""

    before_id: int
    after_id: int
    kind: PairKind
    score: float


def propose_pairs(
    pictures: Sequence[SpotPicture],
    likeness: Mapping[tuple[int, int], Likeness],
    *,
    load_gray: LoadGray,
    off_times_s: Sequence[float] = (),
    refit_times_s: Sequence[float] = (),
    not_pairs: Collection[tuple[int, int]] = (),
) -> list[ProposedPair]:
    """Propose the pairs of one spot.

    Parameters
    ----------
    pictures : sequence of SpotPicture
        Those without a time take no part.
    likeness : mapping of (picture_id, picture_id) to Likeness
        Either order of ids.
    load_gray : callable
        picture_id to the gray picture, any size. Unused as yet: telling tape flags from removed parts by what patches
        or keypoints go unanswered was measured and lost to the times (see docs/decisions).
    off_times_s, refit_times_s : sequence of float
        When the log says that parts of this spot came off or went back; empty when it says nothing.
    not_pairs : collection of (picture_id, picture_id)
        Pairs, in either order, that a person has refused.

    Returns
    -------
    list of ProposedPair
        The surest first; empty when the pictures show one state.
    """
    stints = split_stints(pictures)
    states = tell_states(stints, off_times_s, refit_times_s)
    refused = {frozenset(pair) for pair in not_pairs}
    steps = [(stints[i], stints[j], kind, sure) for i, j, kind, sure in _transitions(states)]
    steps += [step for stint in stints for step in _within_stint(stint, off_times_s, refit_times_s)]
    proposals = []
    for earlier, later, kind, sure in steps:
        chosen = _most_alike(earlier, later, likeness, refused)
        if chosen is not None and (sure > LIKELY_CHANGE or chosen[2] >= MANY_AGREEING):
            before, after, agreeing = chosen
            seen = min(1.0, agreeing / MANY_AGREEING)
            proposals.append(
                ProposedPair(before, after, kind, round(sure * (LEAST_SEEN + (1 - LEAST_SEEN) * seen), SCORE_DIGITS))
            )
    return sorted(proposals, key=lambda p: (-p.score, p.before_id, p.after_id))


def split_stints(pictures: Sequence[SpotPicture]) -> list[list[SpotPicture]]:
    """Dated pictures in order of time, cut where more than `STINT_S` passes without one."""
    stints: list[list[SpotPicture]] = []
    last = -math.inf
    for picture in sorted((p for p in pictures if p.taken_s is not None), key=lambda p: (p.taken_s, p.picture_id)):
        taken = picture.taken_s or 0.0
        if taken - last > STINT_S:
            stints.append([])
        stints[-1].append(picture)
        last = taken
    return stints


def tell_states(
    stints: Sequence[Sequence[SpotPicture]], off_times_s: Sequence[float] = (), refit_times_s: Sequence[float] = ()
) -> list[SpotState]:
    """State of the spot in each stint: "whole" as found (tagged or not), "off", or "back".

    The log decides where it says anything. Else the long rest does: what was taken apart rests apart, so the last stint
    before the rest shows parts off, the earlier ones show it whole, the later ones back. Without a rest the last of two
    or more stints is taken to show parts off.
    """
    starts = [float(stint[0].taken_s or 0.0) for stint in stints]
    if off_times_s:
        return [_logged_state(start, off_times_s, refit_times_s) for start in starts]
    gaps = [later - earlier for earlier, later in itertools.pairwise(starts)]
    longest = max(range(len(gaps)), key=gaps.__getitem__, default=None)
    if longest is None:
        return ["whole"] * len(stints)
    off = longest if gaps[longest] >= REST_S and longest > 0 else len(stints) - 1
    return ["whole" if k < off else "off" if k == off else "back" for k in range(len(stints))]


def _logged_state(start: float, off_times_s: Sequence[float], refit_times_s: Sequence[float]) -> SpotState:
    """State of the spot at `start`, seconds, by the last event that the log has before it."""
    last_off = max((t for t in off_times_s if t <= start), default=None)
    last_refit = max((t for t in refit_times_s if t <= start), default=None)
    if last_off is None:
        return "whole"
    return "back" if last_refit is not None and last_refit >= last_off else "off"


def _transitions(states: Sequence[SpotState]) -> list[tuple[int, int, PairKind, float]]:
    """Stints to pair: the first and the last whole one with each off one, the last off one with each that is back."""
    whole, off, back = ([k for k, s in enumerate(states) if s == state] for state in ("whole", "off", "back"))
    out: list[tuple[int, int, PairKind, float]] = []
    for j in off:
        earlier = [i for i in whole if i < j]
        out += [(i, j, "removed", SURE_PAIR) for i in sorted({*earlier[:1], *earlier[-1:]})]
    for j in back:
        out += [(i, j, "refitted", SURE_PAIR) for i in [k for k in off if k < j][-1:]]
        out += [(i, j, "changed", SURE_CHANGE) for i in whole[:1]]
    return out


def _within_stint(
    stint: Sequence[SpotPicture], off_times_s: Sequence[float], refit_times_s: Sequence[float]
) -> list[tuple[list[SpotPicture], list[SpotPicture], PairKind, float]]:
    """Pictures of one stint before and after a logged event, or a pause long enough for one, and what it was.

    Where the log is silent nothing tells whether something came off or was fitted.
    """
    parts: list[list[SpotPicture]] = []
    kinds: list[tuple[PairKind, float]] = []
    for picture in stint:
        taken, last = picture.taken_s or 0.0, (parts[-1][-1].taken_s or 0.0) if parts else -math.inf
        off = max((t for t in off_times_s if last < t <= taken), default=-math.inf)
        refit = max((t for t in refit_times_s if last < t <= taken), default=-math.inf)
        if not parts or math.isfinite(max(off, refit)) or taken - last > PAUSE_S:
            parts.append([])
            said = math.isfinite(max(off, refit))
            kinds.append(
                (("removed" if off > refit else "refitted"), SURE_PAIR) if said else ("changed", LIKELY_CHANGE)
            )
        parts[-1].append(picture)
    return [(before, after, *kind) for (before, after), kind in zip(itertools.pairwise(parts), kinds[1:], strict=True)]


def _most_alike(
    earlier: Sequence[SpotPicture],
    later: Sequence[SpotPicture],
    likeness: Mapping[tuple[int, int], Likeness],
    refused: Collection[frozenset[int]],
) -> tuple[int, int, int] | None:
    """The two pictures, one of each stint, that show most of the same; None when all are refused or show one state."""
    best: tuple[int, int, int] | None = None
    for a in earlier:
        for b in later:
            found = likeness.get((a.picture_id, b.picture_id)) or likeness.get((b.picture_id, a.picture_id))
            agreeing = 0 if found is None else found.agreeing
            if frozenset((a.picture_id, b.picture_id)) in refused or (found is not None and _is_one_state(found)):
                continue
            if best is None or agreeing > best[2]:
                best = a.picture_id, b.picture_id, agreeing
    return best


def _is_one_state(likeness: Likeness) -> bool:
    """Whether so much agrees, out of the keypoints the matches span, that nothing can have come off."""
    return likeness.agreeing > SAME_SHARE * MOST_KEYPOINTS
