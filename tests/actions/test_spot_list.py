"""Spots as they are listed, the pairs of one, and which spots some pictures look like."""

from __future__ import annotations

import pytest

from asfound.actions import log, spots
from asfound.actions.archive import Archive
from asfound.actions.job import new_job
from asfound.actions.known import known_tags
from asfound.actions.pin import Box, pin_tag
from asfound.actions.spot_list import likely_spots, list_spots_seen, pairs_of_spot, read_spot
from asfound.actions.undo import undo
from asfound.core.match import IN_USE
from asfound.errors import NotFound
from asfound.model.pictures import Pair
from asfound.store.pictures import get_picture
from asfound.store.spots import StoredLikeness, mark_spots_fresh, save_likenesses, save_pairs
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)


def propose_pairs(archive: Archive, *pairs: tuple[int, int, int, float]) -> None:
    """Let the machine have proposed pairs: spot, before, after, how sure."""
    with archive.store.transaction():
        made = [Pair(spot_id, before, after, "changed", score) for spot_id, before, after, score in pairs]
        save_pairs(archive.store, archive.job.job_id, made)
        mark_spots_fresh(archive.store)


def test_a_spot_lists_each_number_on_its_pictures_once_and_in_order(archive: Archive):
    wire, hose = (one for one in known_tags(archive).values() if one.number == "12")
    long = next(one for one in known_tags(archive).values() if one.number == "112")
    for tag, picture_id in ((long, 1), (wire, 1), (hose, 2), (long, 2)):
        pin_tag(archive, tag, "A", get_picture(archive.store, picture_id), Box(0.5, 0.5))

    first, second = list_spots_seen(archive)

    assert (first.numbers, second.numbers) == (("12", "112"), ())
    assert first.first_at == get_picture(archive.store, 1).taken_at


def test_a_spot_that_lost_its_pictures_is_listed_while_it_has_a_name(archive: Archive):
    spot = spots.get_spot(archive, "1")
    spots.move_pictures(archive, spot.picture_ids, None)
    assert [one.spot.spot_id for one in list_spots_seen(archive)] == [2]
    assert read_spot(archive, 1).spot.picture_ids == ()

    undo(archive)
    spots.name_spot(archive, spot, "fuel rail")
    spots.move_pictures(archive, spot.picture_ids, None)

    assert [(one.spot.spot_id, one.first_at is None) for one in list_spots_seen(archive)] == [(2, False), (1, True)]


def test_a_spot_that_is_not_there_is_named(archive: Archive):
    with pytest.raises(NotFound, match="9"):
        read_spot(archive, 9)


def test_pairs_are_counted_and_what_was_refused_is_not_one(archive: Archive):
    propose_pairs(archive, (1, 1, 2, 0.8), (2, 3, 4, 0.9))
    assert [one.pairs for one in list_spots_seen(archive)] == [1, 1]

    spots.refuse_pair(archive, 1, 2)
    assert [one.pairs for one in list_spots_seen(archive)] == [0, 1]
    assert pairs_of_spot(archive, 1) == []

    undo(archive)
    assert [(one.before_id, one.after_id) for one in pairs_of_spot(archive, 1)] == [(1, 2)]


def test_what_the_log_says_of_a_pair_goes_before_what_was_guessed(archive: Archive):
    propose_pairs(archive, (1, 1, 2, 0.8))
    hose = next(one for one in known_tags(archive).values() if one.number == "17")
    pin_tag(archive, hose, "A", get_picture(archive.store, 1), Box(0.5, 0.5))
    assert [one.kind for one in pairs_of_spot(archive, 1)] == ["changed"]

    taken = get_picture(archive.store, 2).taken_at
    assert taken is not None
    log.mark_off(archive, hose, at=taken)

    assert [one.kind for one in pairs_of_spot(archive, 1)] == ["removed"]


def test_the_spot_whose_pictures_agree_most_is_the_likeliest_and_an_own_one_counts_too(archive: Archive):
    likenesses = [
        StoredLikeness(a, b, agreeing, 0.9, None, 1.0, None)
        for a, b, agreeing in ((1, 2, 10), (1, 3, 30), (2, 3, 5), (1, 4, 1))
    ]
    with archive.store.transaction():
        save_likenesses(archive.store, IN_USE, likenesses)

    assert likely_spots(archive, [1]) == [2, 1]
    assert likely_spots(archive, [2]) == [1, 2]
    # What two of the pictures in hand share with each other says nothing of where they belong.
    assert likely_spots(archive, [1, 2]) == [2]


def test_pictures_that_look_like_none_or_like_one_in_no_spot_have_no_likely_spot(archive: Archive):
    assert likely_spots(archive, [1]) == []

    with archive.store.transaction():
        save_likenesses(archive.store, IN_USE, [StoredLikeness(1, 3, 30, 0.9, None, 1.0, None)])
    spots.move_pictures(archive, [3], None)

    assert likely_spots(archive, [1]) == []


def test_another_job_has_no_spots_of_this_one(archive: Archive):
    new_job(archive, "Tern", zone="UTC")

    assert list_spots_seen(archive) == []
