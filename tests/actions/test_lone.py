"""Which pictures and spots are brought together by what scenes say; the scenes themselves are stood in for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import SimpleNamespace

import pytest

from asfound.actions import lone, sorting
from asfound.actions import spots as actions
from asfound.actions.add import add_dump
from asfound.actions.archive import open_archive
from asfound.actions.lone import _one_place, _placed
from asfound.actions.progress import quiet
from asfound.core.match.aim import Aim
from asfound.core.match.spots import Grouping
from asfound.store import jobs, spots
from asfound.store.pictures import list_pictures
from tests.media import samples

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

    assert _placed(scenes, pool, [7, 8, 9], {}, quiet) == {7: 10, 8: 11}
    assert scenes.asked_tilted == [8, 9]


def test_spots_whose_pictures_aim_at_one_place_are_one(pool: ThreadPoolExecutor) -> None:
    spots = {10: [1, 2, 3, 4], 11: [5, 6, 7], 12: [8, 9, 10]}
    says = {(5, 10): HERE, (6, 10): HERE, (8, 10): ASIDE, (9, 10): HERE}
    spot_of = {i: s for s, ids in spots.items() for i in ids}

    assert _one_place(Told(spots, says, {}), pool, spot_of, {10}, {}, quiet) == [(11, 10)]


def test_two_spots_that_a_person_spoke_of_stay_two(pool: ThreadPoolExecutor) -> None:
    spots = {10: [1, 2, 3, 4], 11: [5, 6, 7]}
    says = {(i, 10): HERE for i in (5, 6, 7)}
    spot_of = {i: s for s, ids in spots.items() for i in ids}

    assert _one_place(Told(spots, says, {}), pool, spot_of, {10, 11}, {}, quiet) == []


@pytest.fixture
def archive(tmp_path: Path):
    """Six pictures: one to three in one spot, four to six in another, as the machine has sorted them."""
    card = tmp_path / "card"
    card.mkdir()
    for number in range(1, 7):
        (card / f"P1_000{number}.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, number)))
    with open_archive(tmp_path / "archive", create=True) as opened:
        job = jobs.add_job(opened.store, "Sallow", "Europe/Amsterdam", opened.now())
        add_dump(opened, [card], workers=0)
        ids = sorted(p.picture_id for p in list_pictures(opened.store, job.job_id))
        first, second = spots.new_spot(opened.store, job.job_id), spots.new_spot(opened.store, job.job_id)
        sorted_by_machine = dict.fromkeys(ids[:3], first) | dict.fromkeys(ids[3:], second)
        spots.save_membership(opened.store, job.job_id, sorted_by_machine, {})
        yield opened


@pytest.mark.parametrize("moved", [1, 2])
def test_picture_that_a_person_moved_brings_nobody_along(archive, moved: int, monkeypatch: pytest.MonkeyPatch):
    """The scene it came into shows the place it was taken from as well: that of those left behind."""
    job_id = archive.job.job_id
    first, second = actions.list_spots(archive)
    left = first.picture_ids[moved:]
    actions.move_pictures(archive, first.picture_ids[:moved], second)
    spot_of = spots.load_membership(archive.store, job_id)

    says = {(i, second.spot_id): HERE for i in left} | {(i, first.spot_id): HERE for i in second.picture_ids}
    monkeypatch.setattr(lone, "SpotScenes", lambda _, firm: Told(_families(firm), says, {}))
    spot_of = {i: s for i, s in spot_of.items() if len(left) > 1 or i not in left}
    placed = lone.place_lone(archive, spot_of, quiet)

    assert {i: placed.get(i) for i in left} == {i: first.spot_id if len(left) > 1 else None for i in left}
    assert all(placed[i] == second.spot_id for i in (*second.picture_ids, *first.picture_ids[:moved]))


def test_spots_stay_two_when_a_person_moved_a_picture_between_them(archive, monkeypatch: pytest.MonkeyPatch):
    job_id = archive.job.job_id
    first, second = actions.list_spots(archive)
    actions.move_pictures(archive, first.picture_ids[:1], second)
    spot_of = spots.load_membership(archive.store, job_id)
    far = spots.new_spot(archive.store, job_id)
    fresh = dict.fromkeys((101, 102), first.spot_id)

    says = {(i, second.spot_id): HERE for i in (*first.picture_ids, *fresh)}
    monkeypatch.setattr(lone, "SpotScenes", lambda _, firm: Told(_families(firm), says, {}))
    placed = lone.place_lone(archive, spot_of | fresh | dict.fromkeys((103, 104, 105), far), quiet)

    assert {placed[i] for i in first.picture_ids[1:]} == {first.spot_id}


@pytest.mark.parametrize("sees_new", [False, True])
def test_picture_that_was_moved_takes_nobody_out_of_the_spot(archive, sees_new: bool, monkeypatch: pytest.MonkeyPatch):
    """A sort that sees no new picture knows no more of the others than the last one did."""
    first, second = actions.list_spots(archive)
    moved, *left = first.picture_ids
    stay = dict.fromkeys(second.picture_ids, second.spot_id) | {left[0]: first.spot_id}
    actions.move_pictures(archive, [moved], None)
    monkeypatch.setattr(sorting, "place_lone", lambda *_: stay)

    sorting._group(archive, quiet, sees_new=sees_new)

    known = spots.load_membership(archive.store, archive.job.job_id)
    assert known == (stay if sees_new else stay | {left[1]: first.spot_id})


def test_sort_is_told_which_spots_have_a_name(archive, monkeypatch: pytest.MonkeyPatch):
    _, second = actions.list_spots(archive)
    actions.name_spot(archive, second, "starter")
    told: list[set[int]] = []

    def group(*_: object, named: set[int], **__: object) -> Grouping:
        told.append(named)
        return Grouping({}, {})

    monkeypatch.setattr(sorting, "group_spots", group)
    sorting._group(archive, quiet, sees_new=True)

    assert told == [{second.spot_id}]


def _families(spot_of: dict[int, int]) -> dict[int, list[int]]:
    families: dict[int, list[int]] = {}
    for picture_id, spot_id in spot_of.items():
        families.setdefault(spot_id, []).append(picture_id)
    return families
