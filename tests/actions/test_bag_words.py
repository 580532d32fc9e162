"""Bags: one for each label whatever its capitals, with all that was said of it and of what is in it."""

from __future__ import annotations

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.bags import (
    BACK_IN_PLACE,
    BagWords,
    GroupWords,
    get_bag,
    is_known,
    list_bags,
    meant_label,
    read_label,
    save_bag,
    say_whose,
)
from asfound.actions.tag import TagWords, add_tag
from asfound.errors import Misused, NotFound


def test_more_can_be_said_of_a_bag_and_what_is_not_said_stays(archive: Archive):
    first = save_bag(archive, "B4", BagWords(name="flange", place="bin 3", count_out=8))
    again = save_bag(archive, " b4 ", BagWords(place="", note="greasy"))

    assert again.bag_id == first.bag_id
    assert (again.label, again.name, again.place, again.count_out, again.note) == ("B4", "flange", "", 8, "greasy")
    assert len(list_bags(archive)) == 1


@pytest.mark.parametrize("typed", ["back in place", "Back  in Place", "in its own hole"])
def test_own_holes_are_no_bag(archive: Archive, typed: str):
    assert read_label(typed) == BACK_IN_PLACE
    with pytest.raises(Misused, match="not a bag"):
        save_bag(archive, typed)

    assert list_bags(archive) == []


@pytest.mark.parametrize("typed", ["", "   ", "x" * 200, "B\x07"])
def test_what_cannot_stand_on_a_bag_is_refused(archive: Archive, typed: str):
    with pytest.raises(Misused, match="is not a label"):
        save_bag(archive, typed)


def test_bag_is_known_by_its_label_and_an_unknown_one_told(archive: Archive):
    save_bag(archive, "B4")

    assert get_bag(archive, "b4").label == "B4"
    assert is_known(archive, "B4")
    assert not is_known(archive, "B5")
    with pytest.raises(NotFound, match="no bag B5"):
        get_bag(archive, "B5")


def test_number_alone_means_the_bag_that_has_it_unless_that_is_not_sure(archive: Archive):
    save_bag(archive, "B4")
    assert meant_label(archive, "4") == "B4"
    assert meant_label(archive, "5") == "5"

    save_bag(archive, "C4")
    assert meant_label(archive, "4") == "4", "it could be either"
    save_bag(archive, "4")
    assert meant_label(archive, "4") == "4"


def test_group_is_one_by_its_name_and_its_counts_make_the_bags(archive: Archive):
    save_bag(archive, "B4", groups=[GroupWords("bolts", thread="M8", count_out=6), GroupWords("nuts", count_out=2)])
    bag = save_bag(archive, "B4", groups=[GroupWords("Bolts", length_mm="35")])

    assert [(group.what, group.thread, group.length_mm) for group in bag.groups] == [
        ("bolts", "M8", "35"),
        ("nuts", "", ""),
    ]
    assert bag.count_out == 8


def test_bag_is_of_several_things_and_no_more_of_one(archive: Archive):
    one, other = (add_tag(archive, number, TagWords()) for number in ("17", "18"))
    assert say_whose(archive, "B4", "17, 18").tag_ids == (one.tag_id, other.tag_id)

    assert save_bag(archive, "B4", not_tags=[one]).tag_ids == (other.tag_id,)
    with pytest.raises(NotFound):
        say_whose(archive, "B4", "17 99")
    assert get_bag(archive, "B4").tag_ids == (other.tag_id,), "all of them or none"


def test_bag_named_when_a_thing_came_off_is_made_and_linked(archive: Archive):
    save_bag(archive, "B4")
    tag = add_tag(archive, "17", TagWords())

    event = log.mark_off(archive, tag, bag="4")

    assert event.bag == "B4"
    assert get_bag(archive, "B4").tag_ids == (tag.tag_id,)
    assert log.mark_off(archive, tag, bag="in its own hole").bag == BACK_IN_PLACE
    assert len(list_bags(archive)) == 1
