"""Tags as they are listed: in order of number, with what is pinned and where each thing is in its life."""

from __future__ import annotations

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive
from asfound.actions.job import new_job
from asfound.actions.known import known_tags, states
from asfound.actions.pin import Box, pin_tag, remove_pin
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.tag_list import ListedTag, list_tags_by_number
from asfound.actions.undo import undo
from asfound.store.pictures import get_picture
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)


def listed(archive: Archive) -> dict[str, ListedTag]:
    return {one.card.label: one for one in list_tags_by_number(archive)}


def test_numbers_stand_in_order_and_of_one_number_what_was_entered_first(archive: Archive):
    for number in ("9", "A7", "100"):
        add_tag(archive, number, TagWords())

    assert list(listed(archive)) == ["9", "12.1", "12.2", "17", "100", "112", "A7"]


def test_pictures_are_counted_once_and_ends_are_told_that_none_shows(archive: Archive):
    hose = listed(archive)["12.2"].tag
    for end, picture_id in (("A", 1), ("A", 2), ("B", 2)):
        pin_tag(archive, hose, "A" if end == "A" else "B", get_picture(archive.store, picture_id), Box(0.2, 0.3))

    found = listed(archive)

    assert (found["12.2"].pictures, found["12.2"].ends_without_picture) == (2, ())
    assert (found["12.1"].pictures, found["12.1"].ends_without_picture) == (0, ("A", "B"))


def test_a_pin_that_is_taken_away_leaves_its_end_without_a_picture(archive: Archive):
    hose = listed(archive)["17"].tag
    made = pin_tag(archive, hose, "B", get_picture(archive.store, 1), Box(0.2, 0.3))
    assert listed(archive)["17"].ends_without_picture == ("A",)

    remove_pin(archive, made)

    assert listed(archive)["17"].ends_without_picture == ("A", "B")


def test_the_latest_word_of_the_log_is_the_state_until_it_is_struck_or_taken_back(archive: Archive):
    hose = listed(archive)["12.2"].tag
    log.mark_off(archive, hose)
    log.mark_refitted(archive, hose)
    assert (listed(archive)["12.2"].state, listed(archive)["12.1"].state) == ("refitted", "")

    undo(archive)
    assert listed(archive)["12.2"].state == "off"

    log.strike(archive, log.list_lines(archive)[0])
    assert states(archive) == {}


def test_a_thing_with_one_end_lacks_no_second_picture(archive: Archive):
    bracket = add_tag(archive, "30", TagWords(kind="bracket"))
    pin_tag(archive, bracket, "A", get_picture(archive.store, 1), Box(0.5, 0.5))

    assert listed(archive)["30"].ends_without_picture == ()


def test_another_job_lists_its_own_things_alone(archive: Archive):
    new_job(archive, "Tern", zone="UTC")
    assert (list_tags_by_number(archive), dict(known_tags(archive))) == ((), {})

    add_tag(archive, "12", TagWords(name="bow thruster wire"))

    assert [(one.card.label, one.tag.name) for one in list_tags_by_number(archive)] == [("12", "bow thruster wire")]
