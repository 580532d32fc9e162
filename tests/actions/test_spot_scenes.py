"""Which spots a picture is held against: the likeliest by place vector, never its own, and each asked once."""

from __future__ import annotations

from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from itertools import count

import numpy as np
import pytest

from asfound.actions import matching, spot_scenes
from asfound.actions.archive import Archive
from asfound.actions.spot_scenes import SpotScenes
from asfound.core.match import IN_USE
from asfound.core.match.aim import Aim
from asfound.core.match.spots import spot_probability
from asfound.model.pictures import Picture
from asfound.store import spots
from asfound.store.spots import StoredLikeness
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)

PLACE_NUMBERS = 256

EAST, NORTH = (1.0, 0.0), (0.0, 1.0)
PLACES = {1: EAST, 2: (0.8, 0.6), 3: NORTH, 4: (0.6, 0.8)}
"""The first two numbers of the place vectors of four pictures, the others 0. 1 and 2 are spot 1, 3 and 4 are spot 2."""


@pytest.fixture(autouse=True)
def places(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> None:
    """The pictures have place vectors, and their originals are taken for there."""
    monkeypatch.setattr(matching, "with_originals", lambda _archive, among: list(among))
    with archive.store.transaction():
        for picture_id, place in PLACES.items():
            spots.save_examined(
                archive.store, picture_id, IN_USE, np.pad(np.array(place, np.float16), (0, PLACE_NUMBERS - 2)).tobytes()
            )


def test_spots_come_in_the_order_of_their_likest_picture(archive: Archive):
    third = scenes_of(archive, {1: 1, 2: 2, 3: 3})

    assert third.nearest([4], most=9, least_alike=0.0) == [2, 3, 1], "2 and 3 as 0.96 and 0.8, 1 as 0.6"
    assert third.nearest([4], most=1, least_alike=0.0) == [2]
    assert third.nearest([4], most=9, least_alike=0.9) == [2]


def scenes_of(archive: Archive, spot_of: dict[int, int]) -> SpotScenes:
    return SpotScenes(archive, spot_of)


def test_own_spot_of_any_picture_asked_about_is_left_out(archive: Archive):
    scenes = scenes_of(archive, {1: 1, 2: 1, 3: 2, 4: 2})

    assert scenes.nearest([1], most=9, least_alike=0.0) == [2]
    assert scenes.nearest([1, 3], most=9, least_alike=0.0) == []


def test_picture_without_a_place_is_near_nothing(archive: Archive):
    scenes = scenes_of(archive, {1: 1, 3: 2})

    assert scenes.nearest([99], most=9, least_alike=-1.0) == []
    assert scenes.nearest([], most=9, least_alike=-1.0) == []


def test_of_all_pictures_of_a_spot_the_likest_counts(archive: Archive):
    likenesses = [StoredLikeness(1, 4, 9, 0.5, 0.4, 1.0, None), StoredLikeness(2, 4, 90, 0.9, 0.05, 1.0, None)]
    with archive.store.transaction():
        spots.save_likenesses(archive.store, IN_USE, likenesses)

    scenes = scenes_of(archive, {1: 1, 2: 1, 3: 2})

    told = [spot_probability(one) for one in matching.load_summaries(archive).values()]
    assert scenes.likest(4, 1) == max(told) > min(told)
    assert scenes.likest(4, 2) == 0.0, "never compared is never alike"


@pytest.fixture
def asked(archive: Archive, monkeypatch: pytest.MonkeyPatch) -> list[tuple[int, int]]:
    """What was asked of the geometry, as (spot, picture); its answers count up, and spot 2 places nothing."""
    found: list[tuple[int, int]] = []
    number = count(1)

    def aim(scene: int, _shown: object, mine: int) -> Aim | None:
        found.append((scene, mine))
        return None if scene == 2 else Aim(float(next(number)), 1.5)

    monkeypatch.setattr(SpotScenes, "_scene", lambda _self, spot_id: (spot_id, []))
    monkeypatch.setattr(SpotScenes, "_picture", lambda _self, picture_id, tilted: picture_id)
    monkeypatch.setattr(spot_scenes, "find_aim", aim)
    monkeypatch.setattr(matching, "scene_name", lambda _archive, some: "-".join(str(one.picture_id) for one in some))
    monkeypatch.setattr(spot_scenes.views, "source_of", lambda _archive, picture: Source(picture))
    return found


class Source:
    """Stands in for where a picture's pixels are."""

    def __init__(self, picture: Picture) -> None:
        self.key = f"content {picture.picture_id}"


def aims(scenes: SpotScenes, picture_id: int, spot_ids: Sequence[int], *, tilted: bool = False) -> dict[int, Aim]:
    with ThreadPoolExecutor(1) as pool:
        return scenes.aims(pool, picture_id, spot_ids, tilted=tilted)


def test_what_was_asked_is_kept_also_that_it_cannot_be_placed(archive: Archive, asked: list[tuple[int, int]]):
    told = aims(scenes_of(archive, {1: 1, 2: 1, 3: 2}), 4, [1, 2])

    assert told == {1: Aim(1.0, 1.5)}
    assert asked == [(1, 4), (2, 4)]
    assert aims(scenes_of(archive, {1: 1, 2: 1, 3: 2}), 4, [1, 2]) == told, "the next sort gets the same answers"
    assert len(asked) == 2


def test_spot_with_another_picture_and_tilted_views_are_asked_anew(archive: Archive, asked: list[tuple[int, int]]):
    aims(scenes_of(archive, {1: 1, 3: 2}), 4, [1])
    aims(scenes_of(archive, {1: 1, 2: 1, 3: 2}), 4, [1])
    aims(scenes_of(archive, {1: 1, 3: 2}), 4, [1], tilted=True)
    aims(scenes_of(archive, {1: 1, 3: 2}), 2, [1])

    assert asked == [(1, 4), (1, 4), (1, 4), (1, 2)]


@pytest.mark.parametrize("aim", [None, Aim(0.25, 1.5), Aim(float("inf"), 0.125)])
def test_answer_is_unpacked_as_it_was_packed(aim: Aim | None):
    assert spot_scenes._unpack(spot_scenes._pack(aim)) == aim
