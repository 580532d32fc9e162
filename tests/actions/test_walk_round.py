"""The walk round of a job: what answers it, what lift out does to it, and a person's own items."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from asfound.actions import gaps, walk_round
from asfound.actions.archive import Archive
from asfound.actions.find import search
from asfound.actions.fit import check_hold
from asfound.actions.lift import write_lift
from asfound.actions.log import mark_off
from asfound.actions.summary import summarize
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import undo
from asfound.core.refit.steps import HoldPoint, Lift
from asfound.errors import Ambiguous, Misused, NotFound
from asfound.store.pictures import get_picture
from tests.small_archive import small_archive

LATER = datetime(2025, 10, 19, 8, 0, tzinfo=ZoneInfo("Europe/Amsterdam"))


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with small_archive(tmp_path / "archive") as opened:
        yield opened


def state(archive: Archive, name: str) -> str:
    return {line.item.name: line.standing.state for line in walk_round.list_walk(archive)}[name]


def answer(archive: Archive, name: str, *picture_ids: int) -> str:
    pictures = [get_picture(archive.store, one) for one in picture_ids]
    return walk_round.answer_by(archive, walk_round.find_item(archive, name), pictures)


def test_picture_or_reason_answers_an_item_and_undo_opens_it(archive: Archive):
    assert answer(archive, "timing", 2, 1) == ""
    walk_round.say_not_here(archive, walk_round.find_item(archive, "FUSE"), "none  aboard")

    (timing,) = [line for line in walk_round.list_walk(archive) if line.item.key == "timing"]
    assert [one.picture_id for one in timing.pictures] == [1, 2]
    assert state(archive, "fuse box") == "not here"
    assert summarize(archive).walk_open == len(walk_round.list_walk(archive)) - 2
    undo(archive)
    assert state(archive, "fuse box") == "open"
    walk_round.open_again(archive, timing.item)
    assert state(archive, "timing marks") == "open"


def test_lift_out_closes_what_is_open_and_later_pictures_do_not_answer_it(archive: Archive):
    assert answer(archive, "plate", 1) == ""
    write_lift(archive, Lift.OUT, at=get_picture(archive.store, 3).taken_at)

    late = answer(archive, "levers", 6)

    assert late == "P0006.jpg is from after lift out: it does not show how the machine was found."
    assert (state(archive, "plate"), state(archive, "levers"), state(archive, "front")) == ("pictured", "late", "lost")
    why = {gap.thing: gap for gap in gaps.find_gaps(archive) if gap.thing}
    assert not why["front"].mendable
    assert "plate" not in why


def test_mount_that_came_off_ends_the_walk_round_where_no_lift_is_written_down(archive: Archive):
    mount = add_tag(archive, "90", TagWords(kind="mount"))
    assert state(archive, "front") == "open"
    mark_off(archive, mount)
    assert state(archive, "front") == "lost"


def test_gap_of_an_item_is_answered_as_not_here_and_the_whole_as_one(archive: Archive):
    (whole,) = [gap for gap in gaps.find_gaps(archive) if gap.thing]
    assert whole.thing == "walk round"
    lines = [line.why for line in check_hold(archive, HoldPoint.LIFT_OUT).lines]
    assert any("Not photographed on the walk round: front, left side" in line for line in lines)
    answer(archive, "plate", 1)

    (closed,) = gaps.answer_gaps(archive, "Fuse box", "all on the dash")

    assert closed.thing == "fuse box"
    assert state(archive, "fuse box") == "not here"
    undo(archive)
    undo(archive)
    gaps.answer_gaps(archive, "walk round", "bought in pieces")
    assert not [gap for gap in gaps.find_gaps(archive) if gap.thing]
    assert summarize(archive).walk_items == 0
    assert ("walk round", "walk round", "bought in pieces") in [
        (one.kind, one.about, one.word) for one in gaps.list_answers(archive)
    ]


def test_own_items_come_last_and_leave_with_their_answers(archive: Archive):
    own = walk_round.add_item(archive, " cabin   floor ")
    answer(archive, "cabin", 1)

    assert walk_round.list_walk(archive)[-1].item == own
    assert state(archive, "cabin floor") == "pictured"
    walk_round.drop_item(archive, own)
    assert walk_round.list_walk(archive)[-1].item.name == "old leaks"
    undo(archive)
    assert state(archive, "cabin floor") == "pictured"


def test_answered_item_is_found_by_its_words_and_an_open_one_is_not(archive: Archive):
    assert not search(archive, "timing marks").others
    answer(archive, "timing", 2)
    walk_round.say_not_here(archive, walk_round.find_item(archive, "fuse"), "none aboard")

    for words, label, told in (("timing mark", "timing marks", "P0002.jpg"), ("fuse box", "fuse box", "none aboard")):
        (found,) = [one for one in search(archive, words).others if one.kind == "walk"]
        assert found.label == label
        assert told in found.words


def test_what_cannot_be_meant_is_refused(archive: Archive):
    front = walk_round.find_item(archive, "front")
    for refused, words in (
        (lambda: walk_round.add_item(archive, "Fuse Box"), "on the walk round already"),
        (lambda: walk_round.add_item(archive, "x" * 61), "up to 60"),
        (lambda: walk_round.drop_item(archive, front), "stays on the list"),
        (lambda: walk_round.say_not_here(archive, front, " "), "Say why"),
    ):
        with pytest.raises(Misused, match=words):
            refused()
    with pytest.raises(NotFound, match="--add"):
        walk_round.find_item(archive, "sail")
    with pytest.raises(Ambiguous, match="front or fuse box or fluid levels"):
        walk_round.find_item(archive, "f")
