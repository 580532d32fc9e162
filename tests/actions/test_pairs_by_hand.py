"""Pairs that a person makes of pictures the machine did not take for one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from asfound.actions import log, spots
from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.picture_list import read_picture
from asfound.actions.pin import Box
from asfound.actions.pinned import pin_number
from asfound.actions.resolve import get_tag
from asfound.actions.sort import finish_pending
from asfound.actions.spot_list import pairs_of_spot
from asfound.actions.undo import undo
from asfound.errors import Misused
from asfound.store import jobs
from asfound.store import spots as spot_store
from asfound.store.pictures import get_picture, list_pictures
from tests.four_pictures import four_pictures
from tests.media import samples

archive = pytest.fixture(four_pictures)


def pairs(archive: Archive) -> list[tuple[int, int, str]]:
    return [(one.before_id, one.after_id, one.kind) for one in spot_store.list_pairs(archive.store, archive.job.job_id)]


def picture(archive: Archive, picture_id: int):
    return get_picture(archive.store, picture_id)


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
        finish_pending(archive)
        assert not spot_store.are_spots_stale(archive.store)
        assert spots.list_pairs(archive) == [made]


def test_a_pair_made_is_one_step(archive: Archive) -> None:
    assert pairs(archive) == []
    made = spots.make_pair(archive, picture(archive, 1), picture(archive, 2))
    assert pairs(archive) == [(1, 2, "changed")]
    assert pairs_of_spot(archive, made.spot_id) == [made]
    assert undo(archive)[0] == "P1_0001.jpg and P1_0002.jpg are a pair"
    assert pairs(archive) == []


def test_what_the_log_says_between_the_two_is_what_the_pair_shows(archive: Archive) -> None:
    pin_number(archive, 1, "17", "A", Box(0.2, 0.3))
    mine = get_tag(archive, "17").tag
    between = picture(archive, 1).taken_at
    assert between is not None
    log.mark_off(archive, mine, at=between.replace(second=30))
    spots.make_pair(archive, picture(archive, 1), picture(archive, 2))
    assert pairs(archive) == [(1, 2, "removed")]


def test_a_pair_across_a_refit_is_not_called_removed(archive: Archive) -> None:
    pin_number(archive, 1, "17", "A", Box(0.2, 0.3))
    mine = get_tag(archive, "17").tag
    made = spots.make_pair(archive, picture(archive, 1), picture(archive, 2))
    first, second = picture(archive, 1).taken_at, picture(archive, 2).taken_at
    assert first is not None
    assert second is not None
    log.mark_off(archive, mine, at=first.replace(second=30))
    assert [one.kind for one in spots.list_pairs(archive)] == ["removed"]
    # Written down as of that day only, as at its last minute: the picture of the day still shows it back on.
    log.mark_refitted(archive, mine, at=second.replace(hour=23, minute=59), is_day_only=True)
    assert [one.kind for one in spots.list_pairs(archive)] == ["refitted"]
    assert [one.kind for one in pairs_of_spot(archive, made.spot_id)] == ["refitted"]
    log.strike(archive, log.list_lines(archive)[-1])
    assert [one.kind for one in spots.list_pairs(archive)] == ["removed"]


def test_pictures_of_two_spots_are_no_pair_until_they_are_joined(archive: Archive) -> None:
    with pytest.raises(Misused, match="asfound spot join"):
        spots.make_pair(archive, picture(archive, 1), picture(archive, 3))
    with pytest.raises(Misused, match="itself"):
        spots.make_pair(archive, picture(archive, 1), picture(archive, 1))
    spots.move_pictures(archive, [3], None)
    spots.make_pair(archive, picture(archive, 1), picture(archive, 3))
    assert pairs(archive) == [(1, 3, "changed")]
    assert read_picture(archive, 3).spot_id == read_picture(archive, 1).spot_id


def test_a_pair_made_by_hand_can_be_refused_again(archive: Archive) -> None:
    spots.make_pair(archive, picture(archive, 1), picture(archive, 2))
    spots.refuse_pair(archive, 1, 2)
    assert pairs(archive) == []
    spots.make_pair(archive, picture(archive, 1), picture(archive, 2))
    assert pairs(archive) == [(1, 2, "changed")]


def test_a_pair_that_was_said_holds_its_pictures_together(archive: Archive) -> None:
    """They are in their spot by a person's word then, which no sort parts."""
    job_id = archive.job.job_id
    spot_id = spot_store.load_membership(archive.store, job_id)[1]
    made = spots.make_pair(archive, picture(archive, 1), picture(archive, 2))
    assert made.spot_id == spot_id
    assert {i: spot_store.load_placed(archive.store, job_id).get(i) for i in (1, 2)} == {1: spot_id, 2: spot_id}
    undo(archive)
    spot_store.save_pairs(archive.store, job_id, [replace(made, score=0.7)])
    spots.confirm_pair(archive, 1, 2)
    assert {i: spot_store.load_placed(archive.store, job_id).get(i) for i in (1, 2)} == {1: spot_id, 2: spot_id}


def test_which_was_before_is_put_right(archive: Archive) -> None:
    spots.make_pair(archive, picture(archive, 1), picture(archive, 2))
    spots.make_pair(archive, picture(archive, 2), picture(archive, 1))
    assert pairs(archive) == [(2, 1, "changed")]
    spots.make_pair(archive, picture(archive, 1), picture(archive, 2))
    assert pairs(archive) == [(1, 2, "changed")]
