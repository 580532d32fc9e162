"""Like parts under one number keep their positions, one by one."""

from __future__ import annotations

import pytest

from asfound.actions.archive import Archive
from asfound.actions.sets import drop_members, list_members, save_members
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import steps_to_undo, undo
from asfound.errors import NotFound
from asfound.model.tags import Tag


@pytest.fixture
def caps(archive: Archive) -> Tag:
    return add_tag(archive, "50", TagWords(name="bearing caps"))


def members(archive: Archive, tag: Tag) -> list[tuple[str, str, str]]:
    return [(one.position, one.faced, one.note) for one in list_members(archive, tag)]


def test_more_can_be_said_of_a_position_and_what_is_not_said_stays(archive: Archive, caps: Tag):
    save_members(archive, caps, ["1", "2"], faced="arrow to the front")
    save_members(archive, caps, ["2"], note="scored")
    save_members(archive, caps, ["1"], faced="")

    assert members(archive, caps) == [("1", "", ""), ("2", "arrow to the front", "scored")]


def test_sets_of_two_things_are_apart(archive: Archive, caps: Tag):
    other = add_tag(archive, "51", TagWords())
    save_members(archive, caps, ["1"])
    save_members(archive, other, ["1", "front"])

    drop_members(archive, other, ["1"])

    assert members(archive, caps) == [("1", "", "")]
    assert members(archive, other) == [("front", "", "")]


def test_positions_that_are_not_there_take_none_away_and_leave_no_step(archive: Archive, caps: Tag):
    save_members(archive, caps, ["1", "2"])
    steps = steps_to_undo(archive)

    with pytest.raises(NotFound, match="asfound set 50"):
        drop_members(archive, caps, ["7", "8"])

    assert members(archive, caps) == [("1", "", ""), ("2", "", "")]
    assert steps_to_undo(archive) == steps


def test_one_known_position_is_enough_to_take_away(archive: Archive, caps: Tag):
    save_members(archive, caps, ["1", "2"])

    drop_members(archive, caps, ["2", "8"])

    assert members(archive, caps) == [("1", "", "")]
    assert undo(archive) == ["positions of 50 taken away"]
    assert members(archive, caps) == [("1", "", ""), ("2", "", "")]
