"""Pictures in the order in which they were most likely taken, those of doubtful time included.

One rule for everything that shows pictures in order of time. A doubtful time is kept where the pictures beside it on
the card agree with it; else the picture stands beside them. Cameras number a card's files in the order of taking
(common practice; DCF, JEITA CP-3461, asks for rising numbers).
"""

from __future__ import annotations

from bisect import bisect
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from datetime import UTC
from functools import lru_cache
from math import inf
from typing import NamedTuple
from zoneinfo import ZoneInfo

from asfound.core.capture.camera import name_camera
from asfound.core.capture.names import is_name_in_utc, parse_name_time
from asfound.core.capture.series import number_in_name
from asfound.model.capture import OF_WRONG_CLOCK, TimeDoubt
from asfound.model.pictures import Picture

NEAR = 30
"""So many numbers apart, two files of one card still tell of one sitting; a few shots in between may be gone."""

_Series = tuple[int, int | None, str]


class _Place(NamedTuple):
    """Where a picture stands: at its moment, or just after or before that of a neighbour."""

    moment_s: float
    side: int = 0
    number: int = 0
    clip_seconds: float = 0.0
    picture_id: int = 0


def in_likely_order(pictures: Iterable[Picture], zone: ZoneInfo, accepted: Collection[int] = ()) -> list[Picture]:
    """Sort pictures by when they were most likely taken; those of which nothing tells come last.

    Parameters
    ----------
    pictures : iterable of Picture
        Of one job. Of equal moments, in the order given.
    zone : ZoneInfo
        Of the job; hours that the clocks repeated or skipped, and times in file names, are read in it.
    accepted : collection of int
        Pictures whose doubtful time a person called right; it counts as sure.

    Returns
    -------
    list of Picture
    """
    given = list(pictures)
    doubtful = [one for one in given if not _is_sure(one, accepted)]
    if not doubtful:
        return sorted(given, key=lambda one: one.taken_utc_s or 0.0)
    doubted = {one.picture_id for one in doubtful}
    cards: dict[_Series, list[tuple[int, float]]] = defaultdict(list)
    for one in given:
        number = _number(one)
        if one.picture_id not in doubted and one.taken_utc_s is not None and number is not None:
            cards[_series(one)].append((number, one.taken_utc_s))
    for card in cards.values():
        card.sort()
    places = {one.picture_id: _Place(one.taken_utc_s or 0.0) for one in given if one.picture_id not in doubted}
    places |= {one.picture_id: _place(one, cards[_series(one)], zone) for one in doubtful}
    return sorted(given, key=lambda one: places[one.picture_id])


def _is_sure(picture: Picture, accepted: Collection[int]) -> bool:
    return picture.taken_utc_s is not None and (picture.time_doubt is None or picture.picture_id in accepted)


def _series(picture: Picture) -> _Series:
    """Files numbered in one go: of one dump and camera, with names that begin alike."""
    return picture.dump_id, picture.camera_id, _read_name(picture.file)[0]


def _place(picture: Picture, card: Sequence[tuple[int, float]], zone: ZoneInfo) -> _Place:
    number = _number(picture)
    before, after = _neighbours(number, card)
    told = [*_own_moments(picture, zone), *_named_moment(picture, zone)]
    if picture.time_doubt in OF_WRONG_CLOCK:
        told = [*_named_moment(picture, zone)] or (told if before == -inf and after == inf else [])
    fitting = [moment for moment in told if before <= moment <= after]
    rest = (number or 0, picture.clip_seconds or 0.0, picture.picture_id)
    if fitting:
        return _Place(fitting[0], 0, *rest)
    if before > -inf:
        return _Place(before, 1, *rest)
    if after < inf:
        return _Place(after, -1, *rest)
    return _Place(told[0] if told else inf, 0, *rest)


def _neighbours(number: int | None, card: Sequence[tuple[int, float]]) -> tuple[float, float]:
    """Moments of the nearest sure files below and above a number, -inf and inf where there is none near."""
    if number is None:
        return -inf, inf
    at = bisect(card, (number, inf))
    before = card[at - 1][1] if at > 0 and number - card[at - 1][0] <= NEAR else -inf
    after = card[at][1] if at < len(card) and card[at][0] - number <= NEAR else inf
    # A clock that was set back in between leaves no room: only the file before tells then.
    return (before, after) if before <= after else (before, inf)


def _own_moments(picture: Picture, zone: ZoneInfo) -> list[float]:
    """The time as it was written; both readings of an hour that came twice, the first one first."""
    if picture.taken_utc_s is not None:
        return [picture.taken_utc_s]
    if picture.taken_at is None:
        return []
    return [picture.taken_at.replace(tzinfo=zone, fold=fold).timestamp() for fold in (0, 1)]


def _named_moment(picture: Picture, zone: ZoneInfo) -> list[float]:
    """The time that the file's name tells, if it does."""
    named = parse_name_time(picture.file)
    if named is None or picture.time_doubt is TimeDoubt.REPEATED_HOUR:
        return []
    return [named.replace(tzinfo=UTC if is_name_in_utc(picture.file) else zone).timestamp()]


def _number(picture: Picture) -> int | None:
    """The running number of its file."""
    return _read_name(picture.file)[1]


@lru_cache(maxsize=20_000)
def _read_name(file: str) -> tuple[str, int | None]:
    """How a file's name begins, and its running number; a name that tells a time has none."""
    return name_camera("", "", file), None if parse_name_time(file) is not None else number_in_name(file)
