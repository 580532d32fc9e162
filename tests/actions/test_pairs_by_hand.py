"""Pairs that a person makes of pictures the machine did not take for one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from asfound.actions import log, spots
from asfound.actions.add import add_dump
from asfound.actions.archive import open_archive
from asfound.errors import Misused
from asfound.store import jobs
from asfound.store import spots as spot_store
from asfound.store.pictures import get_picture, list_pictures
from asfound.tui.archive_service import ArchiveService
from tests.four_pictures import four_pictures
from tests.media import samples

service = pytest.fixture(four_pictures)


def pairs(service: ArchiveService) -> list[tuple[int, int, str]]:
    archive = service.archive
    return [(one.before_id, one.after_id, one.kind) for one in spot_store.list_pairs(archive.store, archive.job.job_id)]


def picture(service: ArchiveService, picture_id: int):
    return get_picture(service.archive.store, picture_id)


def test_a_persons_pair_stays_through_a_later_sort(tmp_path: Path) -> None:
    card = tmp_path / "card"
    card.mkdir()
    for number in (1, 2):
        (card / f"P1_000{number}.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, number)))
    with open_archive(tmp_path / "archive", create=True) as archive:
        job = jobs.add_job(archive.store, "Sallow", "Europe/Amsterdam", archive.now())
        add_dump(archive, [card], workers=0)
        before, after = list_pictures(archive.store, job.job_id)
        spot_id = spot_store.new_spot(archive.store, job.job_id)
        spots.move_pictures(archive, [before.picture_id], spot_store.get_spot(archive.store, spot_id))
        made = spots.make_pair(archive, before, after)
        assert spot_store.are_spots_stale(archive.store)
        assert spots.list_pairs(archive) == [made]  # sorts first what is stale
        assert not spot_store.are_spots_stale(archive.store)


def test_a_pair_made_is_one_step(service: ArchiveService) -> None:
    assert pairs(service) == []
    made = spots.make_pair(service.archive, picture(service, 1), picture(service, 2))
    assert pairs(service) == [(1, 2, "changed")]
    assert service.pairs(made.spot_id) == [made]
    assert service.undo() == "P1_0001.jpg and P1_0002.jpg are a pair"
    assert pairs(service) == []


def test_what_the_log_says_between_the_two_is_what_the_pair_shows(service: ArchiveService) -> None:
    service.add_pin(1, "17", "A", 0.2, 0.3)
    mine = service.find("17")[0].tag
    between = picture(service, 1).taken_at
    assert between is not None
    log.mark_off(service.archive, mine, at=between.replace(second=30))
    spots.make_pair(service.archive, picture(service, 1), picture(service, 2))
    assert pairs(service) == [(1, 2, "removed")]


def test_a_pair_across_a_refit_is_not_called_removed(service: ArchiveService) -> None:
    service.add_pin(1, "17", "A", 0.2, 0.3)
    mine = service.find("17")[0].tag
    made = spots.make_pair(service.archive, picture(service, 1), picture(service, 2))
    first, second = picture(service, 1).taken_at, picture(service, 2).taken_at
    assert first is not None
    assert second is not None
    log.mark_off(service.archive, mine, at=first.replace(second=30))
    assert [one.kind for one in spots.list_pairs(service.archive)] == ["removed"]
    # Written down as of that day only, as at its last minute: the picture of the day still shows it back on.
    log.mark_refitted(service.archive, mine, at=second.replace(hour=23, minute=59), is_day_only=True)
    assert [one.kind for one in spots.list_pairs(service.archive)] == ["refitted"]
    assert [one.kind for one in service.pairs(made.spot_id)] == ["refitted"]
    service.strike(log.list_lines(service.archive)[-1].event_id)
    assert [one.kind for one in spots.list_pairs(service.archive)] == ["removed"]


def test_pictures_of_two_spots_are_no_pair_until_they_are_joined(service: ArchiveService) -> None:
    with pytest.raises(Misused, match="asfound spot join"):
        spots.make_pair(service.archive, picture(service, 1), picture(service, 3))
    with pytest.raises(Misused, match="itself"):
        spots.make_pair(service.archive, picture(service, 1), picture(service, 1))
    service.move_pictures([3], None)
    spots.make_pair(service.archive, picture(service, 1), picture(service, 3))
    assert pairs(service) == [(1, 3, "changed")]
    assert service.picture(3).spot_id == service.picture(1).spot_id


def test_a_pair_made_by_hand_can_be_refused_again(service: ArchiveService) -> None:
    spots.make_pair(service.archive, picture(service, 1), picture(service, 2))
    service.reject_pair(1, 2)
    assert pairs(service) == []
    spots.make_pair(service.archive, picture(service, 1), picture(service, 2))
    assert pairs(service) == [(1, 2, "changed")]


def test_a_pair_that_was_said_holds_its_pictures_together(service: ArchiveService) -> None:
    """They are in their spot by a person's word then, which no sort parts."""
    archive, job_id = service.archive, service.archive.job.job_id
    spot_id = spot_store.load_membership(archive.store, job_id)[1]
    made = spots.make_pair(archive, picture(service, 1), picture(service, 2))
    assert made.spot_id == spot_id
    assert {i: spot_store.load_placed(archive.store, job_id).get(i) for i in (1, 2)} == {1: spot_id, 2: spot_id}
    service.undo()
    spot_store.save_pairs(archive.store, job_id, [replace(made, score=0.7)])
    spots.confirm_pair(archive, 1, 2)
    assert {i: spot_store.load_placed(archive.store, job_id).get(i) for i in (1, 2)} == {1: spot_id, 2: spot_id}


def test_which_was_before_is_put_right(service: ArchiveService) -> None:
    spots.make_pair(service.archive, picture(service, 1), picture(service, 2))
    spots.make_pair(service.archive, picture(service, 2), picture(service, 1))
    assert pairs(service) == [(2, 1, "changed")]
    spots.make_pair(service.archive, picture(service, 1), picture(service, 2))
    assert pairs(service) == [(1, 2, "changed")]
