"""What screens ask and say through the actions: finding while one types, swapped ends, spots, answers to gaps."""

from __future__ import annotations

import pytest

from asfound.actions import gaps, pinned, snags, spots
from asfound.actions.archive import Archive
from asfound.actions.bag_list import list_bags_by_label
from asfound.actions.bags import say_whose
from asfound.actions.ends import ends_of, find_end, find_while_typed
from asfound.actions.find import search
from asfound.actions.pin import Box
from asfound.actions.pinned import pin_number, pins_on
from asfound.actions.resolve import find_only_tag
from asfound.actions.spot_list import list_spots_seen, read_spot
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.tag_card import read_card
from asfound.actions.tag_list import list_tags_by_number
from asfound.actions.undo import undo
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)


def found(archive: Archive, words: str) -> list[str]:
    return list(dict.fromkeys(f"{one.tag.number}.{one.tag.order}" for one in find_while_typed(archive, words)))


def test_another_word_leaves_fewer_things(archive: Archive) -> None:
    assert found(archive, "hose") == ["17.1", "112.1", "12.2"]
    assert found(archive, "oil hose") == ["12.2"]
    assert found(archive, "raw water hose") == ["17.1"]


def test_a_digit_finds_numbers_that_begin_so_and_not_sizes(archive: Archive) -> None:
    assert found(archive, "1") == ["12.1", "12.2", "17.1", "112.1"]
    assert found(archive, "12") == ["12.1", "12.2"]
    assert found(archive, "  ") == []


def test_a_number_that_nothing_has_is_never_answered_with_another_as_if_it_were_it(archive: Archive) -> None:
    answer = search(archive, "11")

    assert answer.ends == ()
    assert [one.tag.number for one in answer.begin_so] == ["112", "112"]
    assert search(archive, "17").begin_so == ()
    for number in ("119", "110", "1104"):
        add_tag(archive, number, TagWords(kind="wire"))
    begun = [one.tag.number for one in search(archive, "11").begin_so]
    assert list(dict.fromkeys(begun)) == ["110", "112", "119", "1104"], "in order of number, however they were entered"
    assert search(archive, "water").begin_so == ()


def test_what_holds_most_of_the_words_hides_what_holds_fewer(archive: Archive) -> None:
    answer = search(archive, "raw water bilge")

    assert answer.is_wider
    assert {one.tag.number for one in answer.ends} == {"17"}


def test_one_end_of_exactly_the_second_thing_of_a_number(archive: Archive) -> None:
    second = next(entry.tag for entry in list_tags_by_number(archive) if entry.tag.order == 2)
    entry = find_end(archive, second.tag_id, "B")

    assert entry is not None
    assert entry.tag == second
    assert [one.end.end for one in ends_of(archive, second.tag_id)] == ["A", "B"]
    assert read_card(archive, second).label == "12.2"
    assert ends_of(archive, 999) == []


def test_without_an_end_the_first_that_is_free_is_pinned(archive: Archive) -> None:
    made = [pin_number(archive, picture_id, "17", None, Box(0.2, 0.3)).pin.end for picture_id in (1, 2, 3)]

    assert made == ["A", "B", "A"]
    assert pin_number(archive, 1, "17b", None, Box(0.5, 0.5)).pin.end == "B"


def test_a_new_number_is_added_and_pinned_in_one_step(archive: Archive) -> None:
    made = pin_number(archive, 1, "40", None, pinned.WHOLE)

    assert (made.number, made.pin.end) == ("40", "A")
    assert undo(archive) == ["40 pinned on P1_0001.jpg"]
    assert find_only_tag(archive, "40") is None


def test_a_moved_point_keeps_its_box_and_a_box_takes_its_place(archive: Archive) -> None:
    made = pin_number(archive, 1, "17", "A", Box(0.2, 0.3, 0.1, 0.1))

    pinned.move_pin(archive, made.pin.pin_id, Box(0.4, 0.5))
    assert [(one.pin.x_frac, one.pin.w_frac) for one in pins_on(archive, 1)] == [(0.4, 0.1)]

    pinned.move_pin(archive, made.pin.pin_id, Box(0.4, 0.5, 0.3, 0.2))
    assert [(one.pin.w_frac, one.pin.h_frac) for one in pins_on(archive, 1)] == [(0.3, 0.2)]


def test_both_ends_on_a_picture_are_swapped_in_one_step(archive: Archive) -> None:
    tag_id = pin_number(archive, 1, "17", "A", Box(0.2, 0.3)).pin.tag_id
    pin_number(archive, 1, "17", "B", Box(0.8, 0.9))

    assert sorted(pinned.swap_ends(archive, 1, tag_id)) == ["A", "B"]
    assert [(one.pin.end, one.pin.x_frac) for one in pins_on(archive, 1)] == [("A", 0.8), ("B", 0.2)]

    undo(archive)
    assert [(one.pin.end, one.pin.x_frac) for one in pins_on(archive, 1)] == [("A", 0.2), ("B", 0.8)]


def test_the_only_pin_of_a_thing_gets_the_other_letter(archive: Archive) -> None:
    tag_id = pin_number(archive, 1, "17", "A", Box(0.2, 0.3)).pin.tag_id

    assert pinned.swap_ends(archive, 1, tag_id) == ("B",)
    assert [one.pin.end for one in pins_on(archive, 1)] == ["B"]


def test_pictures_move_between_spots_and_a_lone_one_begins_a_spot(archive: Archive) -> None:
    first, second = (entry.spot.spot_id for entry in list_spots_seen(archive))

    spots.move_pictures(archive, [1], None)
    made = spots.begin_spot(archive, [1])
    assert made.picture_ids == (1,)

    spots.join_spots(archive, read_spot(archive, second).spot, made)
    assert read_spot(archive, second).spot.picture_ids == (1, 3, 4)
    assert read_spot(archive, first).spot.picture_ids == (2,)


def test_naming_a_spot_accepts_it_in_the_same_step(archive: Archive) -> None:
    spot = list_spots_seen(archive)[0].spot

    spots.name_and_accept(archive, spot, "fuel rail")

    assert read_spot(archive, spot.spot_id).spot.name == "fuel rail"
    assert undo(archive) == [f'spot {spot.spot_id} named "fuel rail"']
    assert read_spot(archive, spot.spot_id).spot.name == ""


def test_a_gap_that_is_answered_is_gone_and_comes_back_with_undo(archive: Archive) -> None:
    gap = next(gap for gap in gaps.find_gaps(archive) if gap.number == "17")

    assert gap in gaps.answer_gap(archive, gap, "the cable was cut away")
    assert gap not in gaps.find_gaps(archive)

    undo(archive)
    assert gap in gaps.find_gaps(archive)


def test_a_snag_that_begins_with_a_number_is_tied_to_that_thing(archive: Archive) -> None:
    tied, loose, twice = (snags.write_snag(archive, line) for line in ("17 clamp rusted", "rust in bilge", "12 torn"))

    mine = find_only_tag(archive, "17")
    assert mine is not None
    assert (tied.tag_id, tied.what) == (mine.tag_id, "clamp rusted")
    assert (loose.tag_id, loose.what) == (None, "rust in bilge")
    assert (twice.tag_id, twice.what) == (None, "12 torn")  # two things have that number


def test_a_bag_is_for_the_numbers_that_are_named(archive: Archive) -> None:
    say_whose(archive, "B4", "17, 112")

    assert [(one.bag.label, one.labels) for one in list_bags_by_label(archive)] == [("B4", ("17", "112"))]
