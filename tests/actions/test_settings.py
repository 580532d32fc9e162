"""Small choices are kept as they were made, and doubtful times accepted by a person stay accepted."""

from __future__ import annotations

import pytest

from asfound.actions.archive import Archive
from asfound.actions.known import known_pictures
from asfound.actions.settings import accept_time, accept_times, accepted_times, remember, remembered
from asfound.actions.undo import steps_to_undo, undo
from tests.four_pictures import four_pictures

small = pytest.fixture(four_pictures)


def test_choice_is_kept_until_another_is_made(archive: Archive):
    assert remembered(archive, "glyphs") is None

    remember(archive, "glyphs", "sextants")
    assert remembered(archive, "glyphs") == "sextants"
    remember(archive, "glyphs", "quadrants")
    assert remembered(archive, "glyphs") == "quadrants"
    assert remembered(archive, "glyphs of another terminal") is None


def test_choice_that_is_there_already_is_not_written_again(archive: Archive):
    remember(archive, "glyphs", "sextants")
    before = archive.store.stamp()

    remember(archive, "glyphs", "sextants")
    remember(archive, "never chosen", "")

    assert archive.store.stamp() == before


def test_choice_is_no_step_of_a_person(archive: Archive):
    remember(archive, "glyphs", "sextants")

    assert steps_to_undo(archive) == []


def test_times_are_accepted_one_by_one_or_together_and_taken_back_so(small: Archive):
    one, two, three, *_ = known_pictures(small).values()

    accept_time(small, one)
    accept_times(small, [two, three])
    assert accepted_times(small) == {one.picture_id, two.picture_id, three.picture_id}

    assert undo(small) == ["2 times accepted"]
    assert accepted_times(small) == {one.picture_id}
    accept_time(small, one)
    assert accepted_times(small) == {one.picture_id}, "accepting twice is accepting once"


def test_one_time_is_told_as_one(small: Archive):
    accept_times(small, [next(iter(known_pictures(small).values()))])

    assert undo(small) == ["1 time accepted"]
