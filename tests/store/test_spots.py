"""What the machine worked out about places, and a person's words beside it, which it never touches."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.errors import NotFound
from asfound.model.pictures import Pair
from asfound.store import jobs, spots
from asfound.store.database import Store
from asfound.store.pictures import NewPicture, save_picture
from asfound.store.spots import StoredLikeness
from tests.store.filled import NOW, filled_store


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Pictures 1 to 3 in spot 1, and picture 4 of another job."""
    with filled_store(tmp_path) as opened:
        jobs.add_job(opened, "Other", "Etc/UTC", NOW)
        save_picture(opened, NewPicture(2, 1, "photo", "P9_1.jpg", None, None, None, 400, 300, phash=1))
        yield opened


def like(a_id: int, b_id: int, agreeing: int = 20, detail: bytes | None = b"d") -> StoredLikeness:
    return StoredLikeness(a_id, b_id, agreeing, 0.75, 0.5, 1.25, detail)


def test_pictures_that_can_be_shown_wait_to_be_examined_by_each_method(store: Store):
    store.run("UPDATE picture SET phash = 7 WHERE picture_id IN (1, 3)")
    assert spots.unexamined_pictures(store, 1, "own") == [1, 3]

    spots.save_examined(store, 1, "own", b"\x01\x02")
    spots.save_examined(store, 3, "own", b"")
    assert spots.unexamined_pictures(store, 1, "own") == []
    assert spots.unexamined_pictures(store, 1, "other") == [1, 3]
    assert spots.load_places(store, 1, "own") == [(1, b"\x01\x02")]
    assert spots.load_places(store, 1, "other") == spots.load_places(store, 2, "own") == []

    spots.save_examined(store, 1, "other", b"\x03")
    assert spots.load_places(store, 1, "other") == [(1, b"\x03")]
    assert spots.load_places(store, 1, "own") == []


def test_likeness_comes_back_with_and_without_its_detail(store: Store):
    spots.save_likenesses(store, "own", [like(2, 3), like(1, 2, 9), StoredLikeness(1, 3, 0, 0.0, None, 1.0, None)])

    listed = spots.load_likenesses(store, 1)
    assert [(one.a_id, one.b_id, one.agreeing, one.detail) for one in listed] == [(1, 2, 9, None), (2, 3, 20, None)]
    assert spots.load_likenesses(store, 1, least_agreeing=0)[1] == StoredLikeness(1, 3, 0, 0.0, None, 1.0, None)
    assert [one.b_id for one in spots.load_likenesses(store, 1, least_agreeing=10)] == [3]
    assert spots.load_likenesses(store, 1, method="other") == spots.load_likenesses(store, 2) == []
    assert spots.load_details(store, [3, 2, 2, 1]) == [like(1, 2, 9), like(2, 3)]
    assert spots.load_details(store, [1, 3]) == []
    assert spots.load_details(store, [2, 3]) == [like(2, 3)]


def test_later_comparison_takes_the_place_of_the_earlier_one(store: Store):
    spots.save_likenesses(store, "old", [like(1, 2)])
    spots.save_likenesses(store, "own", [like(1, 2, 30)])

    assert [one.agreeing for one in spots.load_likenesses(store, 1)] == [30]
    assert spots.compared_with(store, 1, "own") == {2}
    assert spots.compared_with(store, 2, "own") == {1}
    assert spots.compared_with(store, 1, "old") == spots.compared_with(store, 3, "own") == set()


def test_what_was_worked_out_is_forgotten_for_one_job_and_words_stay(store: Store):
    spots.save_examined(store, 1, "own", b"x")
    spots.save_examined(store, 4, "own", b"y")
    spots.save_likenesses(store, "own", [like(1, 2)])
    spots.save_membership(store, 1, {1: 1, 2: 1}, {3: [1]})
    spots.save_pairs(store, 1, [Pair(1, 1, 2, "removed", 0.5)])
    spots.name_spot(store, 1, "starter")
    spots.say_pair(store, 2, 3, "pair")
    spots.place_picture(store, 3, None)

    spots.clear_computed(store, 1)

    assert spots.load_places(store, 1, "own") == []
    assert spots.load_places(store, 2, "own") == [(4, b"y")]
    assert spots.load_likenesses(store, 1) == []
    assert spots.load_seen_afar(store, 1) == {}
    assert spots.list_pairs(store, 1) == []
    assert spots.load_membership(store, 1) == {1: 1, 2: 1}
    assert spots.get_spot(store, 1).name == "starter"
    assert spots.load_pair_words(store, 1) == {(2, 3): "pair"}
    assert spots.load_placed(store, 1) == {3: None}


def test_spot_is_told_with_its_name_and_pictures_or_as_unknown(store: Store):
    spot = spots.get_spot(store, 1)
    assert (spot.spot_id, spot.job_id, spot.name, spot.picture_ids) == (1, 1, "", (1, 2, 3))

    spots.name_spot(store, 1, "starter")
    spots.name_spot(store, 1, "starter, right")
    assert spots.get_spot(store, 1).name == "starter, right"
    spots.name_spot(store, 1, "")
    assert spots.get_spot(store, 1).name == ""
    for ask in (lambda: spots.get_spot(store, 9), lambda: spots.name_spot(store, 9, "x")):
        with pytest.raises(NotFound, match="no spot 9"):
            ask()


def test_spots_that_hold_a_picture_or_a_name_are_listed(store: Store):
    named, empty = spots.new_spot(store, 1), spots.new_spot(store, 1)
    spots.name_spot(store, named, "behind the tank")
    elsewhere = spots.new_spot(store, 2)
    spots.name_spot(store, elsewhere, "elsewhere")

    listed = spots.list_spots(store, 1)

    assert [(spot.spot_id, spot.name, spot.picture_ids) for spot in listed] == [
        (1, "", (1, 2, 3)),
        (named, "behind the tank", ()),
    ]
    assert empty not in [spot.spot_id for spot in listed]
    assert {spot.job_id for spot in listed} == {1}
    assert [spot.spot_id for spot in spots.list_spots(store, 2)] == [elsewhere]


def test_id_of_a_spot_is_never_given_twice(store: Store):
    gone = spots.new_spot(store, 1)
    store.run("DELETE FROM spot WHERE spot_id = ?", gone)

    assert spots.new_spot(store, 1) > gone


def test_sorting_anew_replaces_the_machines_word_and_remembers_where_a_picture_was_at_home(store: Store):
    other = spots.new_spot(store, 1)
    spots.save_membership(store, 2, {4: other}, {})
    spots.place_picture(store, 2, other)
    assert spots.load_membership(store, 1) == {1: 1, 2: other, 3: 1}
    assert spots.load_last_spots(store, 1) == {1: 1, 2: 1, 3: 1}

    spots.save_membership(store, 1, {1: other, 2: other}, {3: [1, other], 1: [1, 1]})

    assert spots.load_membership(store, 1) == {1: other, 2: other}
    assert spots.load_last_spots(store, 1) == {1: other, 2: 1, 3: 1}, "a person's word is no home of the machine's"
    assert spots.load_seen_afar(store, 1) == {1: (1,), 3: (1, other)}
    assert spots.load_membership(store, 2) == {4: other}
    assert spots.load_seen_afar(store, 2) == {}


def test_picture_that_a_person_placed_is_there_at_once_or_nowhere(store: Store):
    other = spots.new_spot(store, 1)
    spots.place_picture(store, 1, other)
    spots.place_picture(store, 2, None)
    assert spots.load_placed(store, 1) == {1: other, 2: None}
    assert spots.load_membership(store, 1) == {1: other, 3: 1}

    spots.place_picture(store, 1, None)
    spots.place_picture(store, 2, 1)
    assert spots.load_placed(store, 1) == {1: None, 2: 1}
    assert spots.load_membership(store, 1) == {2: 1, 3: 1}
    assert spots.load_placed(store, 2) == {}


def test_pairs_of_the_machine_are_replaced_and_a_person_has_the_last_word(store: Store):
    other = spots.new_spot(store, 1)
    spots.save_pairs(store, 1, [Pair(1, 2, 1, "changed", 0.9)])
    machine = [Pair(1, 1, 2, "removed", 0.5), Pair(1, 1, 3, "removed", 0.8), Pair(1, 2, 3, "refitted", 0.5)]
    spots.save_pairs(store, 1, machine)
    assert spots.list_pairs(store, 1) == [machine[1], machine[0], machine[2]]
    assert spots.list_pairs(store, 2) == []

    spots.say_pair(store, 1, 3, "not a pair")
    spots.say_pair(store, 2, 3, "pair", "changed")
    spots.say_pair(store, 3, 2, "pair", "refitted")
    assert spots.list_pairs(store, 1) == [Pair(1, 3, 2, "refitted", 1.0), machine[0], machine[2]]
    assert spots.load_pair_words(store, 1) == {(1, 3): "not a pair", (2, 3): "pair", (3, 2): "pair"}
    assert spots.load_pair_words(store, 2) == {}

    spots.place_picture(store, 3, other)
    assert Pair(1, 3, 2, "refitted", 1.0) not in spots.list_pairs(store, 1), "only while both are in one spot"


def test_word_on_a_pair_says_what_happened_between_the_two(store: Store):
    spots.say_pair(store, 1, 2, "pair")
    assert spots.list_pairs(store, 1) == [Pair(1, 1, 2, "changed", 1.0)]

    spots.say_pair(store, 1, 2, "pair", "removed")
    assert spots.list_pairs(store, 1) == [Pair(1, 1, 2, "removed", 1.0)]


def test_spots_are_fresh_until_something_is_said_that_changes_them(store: Store):
    spots.mark_spots_fresh(store)
    assert not spots.are_spots_stale(store)

    spots.say_pair(store, 1, 2, "pair")

    assert spots.are_spots_stale(store)
