"""Which pictures and spots are brought together by what scenes say; the scenes themselves are stood in for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from types import SimpleNamespace

import pytest

from asfound.actions.lone import _one_place, _placed
from asfound.actions.progress import quiet
from asfound.core.match.aim import Aim

HERE, ASIDE = Aim(0.05, 1.0), Aim(0.4, 1.0)


class Told:
    """Stands in for `SpotScenes`: what it says is written down."""

    def __init__(self, spots: dict[int, list[int]], says: dict[tuple[int, int], Aim], tilted: dict) -> None:
        self.families = {s: [SimpleNamespace(picture_id=i) for i in ids] for s, ids in spots.items()}
        self._says, self._tilted = says, tilted
        self.asked_tilted: list[int] = []

    def nearest(self, picture_ids: Iterable[int], most: int, least_alike: float) -> list[int]:
        own = {s for s, members in self.families.items() for m in members if m.picture_id in picture_ids}
        return [spot_id for spot_id in self.families if spot_id not in own][:most]

    def likest(self, picture_id: int, spot_id: int) -> float:
        return 0.0

    def aims(self, pool: object, picture_id: int, spot_ids: Sequence[int], *, tilted: bool = False) -> dict[int, Aim]:
        if tilted:
            self.asked_tilted.append(picture_id)
        says = self._tilted if tilted else self._says
        return {s: says[picture_id, s] for s in spot_ids if (picture_id, s) in says}


@pytest.fixture
def pool() -> Iterable[ThreadPoolExecutor]:
    with ThreadPoolExecutor(1) as pool:
        yield pool


def test_tilted_views_are_asked_only_for_a_picture_that_no_scene_takes(pool: ThreadPoolExecutor) -> None:
    scenes = Told({10: [1, 2, 3], 11: [4, 5, 6]}, {(7, 10): HERE, (8, 10): ASIDE}, {(8, 11): HERE})

    assert _placed(scenes, pool, [7, 8, 9], quiet) == {7: 10, 8: 11}
    assert scenes.asked_tilted == [8, 9]


def test_spots_whose_pictures_aim_at_one_place_are_one(pool: ThreadPoolExecutor) -> None:
    spots = {10: [1, 2, 3, 4], 11: [5, 6, 7], 12: [8, 9, 10]}
    says = {(5, 10): HERE, (6, 10): HERE, (8, 10): ASIDE, (9, 10): HERE}
    spot_of = {i: s for s, ids in spots.items() for i in ids}

    assert _one_place(Told(spots, says, {}), pool, spot_of, {10}, quiet) == [(11, 10)]


def test_two_spots_that_a_person_spoke_of_stay_two(pool: ThreadPoolExecutor) -> None:
    spots = {10: [1, 2, 3, 4], 11: [5, 6, 7]}
    says = {(i, 10): HERE for i in (5, 6, 7)}
    spot_of = {i: s for s, ids in spots.items() for i in ids}

    assert _one_place(Told(spots, says, {}), pool, spot_of, {10, 11}, quiet) == []
