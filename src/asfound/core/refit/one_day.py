"""The order of what came off on one day without an hour: what is near each other stays together."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

_SAME_SPOT, _SAME_PLACE, _APART = 2.0, 3.0, 9.0
"""Farther than any two points of one picture (1.4), nearer than nothing in common."""


@dataclass(frozen=True, slots=True)
class PinnedAt:
    """A thing in a picture, in fractions of width and height."""

    tag_id: int
    picture_id: int
    x_frac: float
    y_frac: float


class Nearness:
    """How near things are to each other: in one picture, at one spot, or by the words of their places.

    Parameters
    ----------
    pinned : iterable of PinnedAt
    spots : mapping of int to int
        Picture to its spot.
    places : iterable of (int, str)
        Tags with the places of their ends, in words that compare equal where they mean the same.
    """

    def __init__(
        self,
        pinned: Iterable[PinnedAt] = (),
        spots: Mapping[int, int] | None = None,
        places: Iterable[tuple[int, str]] = (),
    ) -> None:
        self._points: dict[int, dict[int, list[tuple[float, float]]]] = defaultdict(lambda: defaultdict(list))
        self._spots: dict[int, set[int]] = defaultdict(set)
        self._places: dict[int, set[str]] = defaultdict(set)
        for pin in pinned:
            self._points[pin.tag_id][pin.picture_id].append((pin.x_frac, pin.y_frac))
            if spots and pin.picture_id in spots:
                self._spots[pin.tag_id].add(spots[pin.picture_id])
        for tag_id, place in places:
            if place:
                self._places[tag_id].add(place)

    def distance(self, one: int, other: int) -> float:
        """How far apart two things are; of no unit, only to be compared."""
        mine, its = self._points.get(one, {}), self._points.get(other, {})
        shared = [math.dist(a, b) for picture in mine.keys() & its.keys() for a in mine[picture] for b in its[picture]]
        if shared:
            return min(shared)
        if not self._spots.get(one, set()).isdisjoint(self._spots.get(other, set())):
            return _SAME_SPOT
        return _APART if self._places.get(one, set()).isdisjoint(self._places.get(other, set())) else _SAME_PLACE


def order_by_place(tag_ids: Sequence[int], distance: Callable[[int, int], float]) -> list[int]:
    """Begin with the first, then always the one nearest to it; of equally near ones the first that was given."""
    if not tag_ids:
        return []
    ordered, left = [tag_ids[0]], list(tag_ids[1:])
    while left:
        nearest = min(left, key=lambda tag_id: distance(ordered[-1], tag_id))
        left.remove(nearest)
        ordered.append(nearest)
    return ordered
