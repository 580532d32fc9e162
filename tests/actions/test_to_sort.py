"""What waits for a person's word, and how it is asked."""

from __future__ import annotations

from datetime import timedelta

import pytest

from asfound.actions import bursts, spots
from asfound.actions.archive import Archive
from asfound.actions.job import new_job
from asfound.actions.known import known_tags
from asfound.actions.pin import Box, pin_tag
from asfound.actions.pinned import accept_many, pictures_to_answer, proposals_on, reject_many
from asfound.actions.questions import (
    NumberQuestion,
    PinsQuestion,
    TimesQuestion,
    is_doubtful,
    key_of,
    list_questions,
    parts_of,
    sure_ones,
)
from asfound.actions.settings import accept_time
from asfound.actions.to_sort import BurstProposal, PairProposal, PinQuestion, SpotProposal, TimeQuestion, list_to_sort
from asfound.actions.undo import undo
from asfound.model.pictures import Pair
from asfound.model.tags import EndLetter, PinProposal, Source, Tag
from asfound.store import pins
from asfound.store.pictures import get_picture
from asfound.store.spots import save_pairs
from tests.four_pictures import NOON, four_pictures

archive = pytest.fixture(four_pictures)


def thing(archive: Archive, number: str, order: int = 1) -> Tag:
    return next(one for one in known_tags(archive).values() if (one.number, one.order) == (number, order))


def propose(
    archive: Archive, tag: Tag, end: EndLetter, sure: dict[int, float], *, source: Source = "carried", x: float = 0.5
) -> None:
    """Let the machine propose an end on pictures, each so surely."""
    how = "written" if source == "read" else ""
    found = [PinProposal(tag.tag_id, end, i, x, 0.5, None, None, source, c, how, None) for i, c in sure.items()]
    with archive.store.transaction():
        pins.replace_proposals(archive.store, tag.tag_id, end, source, found)


def propose_pairs(archive: Archive, *pairs: tuple[int, int, int, float]) -> None:
    with archive.store.transaction():
        made = [Pair(spot_id, before, after, "changed", score) for spot_id, before, after, score in pairs]
        save_pairs(archive.store, archive.job.job_id, made)


def by_machine(archive: Archive, *picture_ids: int) -> None:
    """Let it have been the machine that put these pictures where they are."""
    with archive.store.transaction():
        for picture_id in picture_ids:
            archive.store.run("DELETE FROM placed WHERE picture_id = ?", picture_id)


def test_nothing_waits_where_all_was_said(archive: Archive):
    assert list_to_sort(archive) == ()
    assert list_questions(archive) == []


def test_kinds_stand_in_their_order(archive: Archive):
    by_machine(archive, 3, 4)
    propose_pairs(archive, (1, 1, 2, 0.8))
    propose(archive, thing(archive, "17"), "A", {4: 0.9})
    with archive.store.transaction():
        archive.store.run("UPDATE picture SET time_doubt = 'only the file''s own time is known' WHERE picture_id = 2")
        archive.store.run("UPDATE picture SET phash = 1")
        for picture_id, seconds in ((1, 0), (2, 2)):
            at = NOON + timedelta(seconds=seconds)
            values = (at.replace(tzinfo=None).isoformat(), at.timestamp(), picture_id)
            archive.store.run("UPDATE picture SET taken_local = ?, written_utc_s = ? WHERE picture_id = ?", *values)

    kinds = [type(one) for one in list_to_sort(archive)]

    assert kinds == [BurstProposal, SpotProposal, PairProposal, PinQuestion, TimeQuestion]


def test_a_spot_is_asked_about_with_its_new_pictures_alone(archive: Archive):
    by_machine(archive, 4)

    (asked,) = list_to_sort(archive)

    assert isinstance(asked, SpotProposal)
    assert (asked.spot.spot_id, asked.picture_ids, asked.known) == (2, (4,), 1)
    spots.accept_spot(archive, asked.spot)
    assert list_to_sort(archive) == ()
    undo(archive)
    assert list_to_sort(archive) == (asked,)


def test_of_a_spot_the_best_pair_is_asked_about_and_none_once_one_is_kept(archive: Archive):
    spots.move_pictures(archive, [3], spots.get_spot(archive, "1"))
    propose_pairs(archive, (1, 1, 2, 0.7), (1, 2, 3, 0.9))
    (asked,) = list_to_sort(archive)
    assert isinstance(asked, PairProposal)
    assert ((asked.pair.before_id, asked.pair.after_id), asked.spot_name) == ((2, 3), "Spot 1")

    spots.refuse_pair(archive, 2, 3)
    (asked,) = list_to_sort(archive)
    assert isinstance(asked, PairProposal)
    assert (asked.pair.before_id, asked.pair.after_id) == (1, 2)

    spots.confirm_pair(archive, 1, 2)
    assert list_to_sort(archive) == ()

    undo(archive)
    undo(archive)
    spots.confirm_pair(archive, 1, 2)
    assert list_to_sort(archive) == ()  # though the better one was never refused


def test_what_is_behind_another_picture_is_not_asked_about(archive: Archive):
    propose_pairs(archive, (1, 1, 2, 0.9))
    propose(archive, thing(archive, "17"), "A", {2: 0.9, 3: 0.8})

    bursts.fold(archive, 1, [2])

    assert [one.picture.picture_id for one in list_to_sort(archive) if isinstance(one, PinQuestion)] == [3]
    assert not any(isinstance(one, PairProposal) for one in list_to_sort(archive))
    assert pictures_to_answer(archive, after=1) == [3]
    assert pictures_to_answer(archive, after=3) == []


def test_pins_of_a_picture_are_one_question_the_least_sure_first(archive: Archive):
    propose(archive, thing(archive, "17"), "A", {1: 0.9, 2: 0.4})
    propose(archive, thing(archive, "12", 2), "B", {1: 0.6})

    first, second = list_questions(archive)

    assert isinstance(first, PinsQuestion)
    assert ([one.label for one in first.entries], first.picture.picture_id) == (["12B", "17A"], 1)
    assert key_of(second) == ("pins", 2, False)
    assert parts_of(first) == ((thing(archive, "12", 2).tag_id, "B"), (thing(archive, "17").tag_id, "A"))


def test_a_number_of_which_no_end_is_told_is_asked_once_for_a_place_where_it_is_surest(archive: Archive):
    for end, x in (("A", 0.5), ("B", 0.5)):
        propose(archive, thing(archive, "17"), "A" if end == "A" else "B", {1: 0.41, 2: 0.48}, source="read", x=x)

    (asked,) = list_questions(archive)

    assert isinstance(asked, NumberQuestion)
    assert (asked.picture.picture_id, asked.also, asked.entry.label, asked.place) == (2, 1, "17", 1)
    assert asked.entry.confidence == pytest.approx(0.96)
    assert not is_doubtful(asked)
    assert sure_ones(list_to_sort(archive), 0.0) == ([], [])  # of an end that is not told it is never sure


def test_a_number_read_where_an_end_is_pinned_elsewhere_is_doubtful_and_comes_last(archive: Archive):
    hose = thing(archive, "17")
    pin_tag(archive, hose, "A", get_picture(archive.store, 3), Box(0.5, 0.5))
    for end in ("A", "B"):
        propose(archive, hose, "A" if end == "A" else "B", {1: 0.48}, source="read")
    propose(archive, thing(archive, "112"), "A", {4: 0.1})

    kinds = [(type(one), is_doubtful(one)) for one in list_questions(archive)]

    assert kinds == [(PinsQuestion, False), (NumberQuestion, True)]


@pytest.mark.parametrize(("sure", "doubtful"), [(0.79, True), (0.80, False)])
def test_a_number_read_unsurely_is_doubtful_and_a_carried_pin_never(archive: Archive, sure: float, doubtful: bool):
    propose(archive, thing(archive, "17"), "A", {1: sure}, source="read")
    propose(archive, thing(archive, "112"), "A", {2: 0.1})

    assert {
        one.picture.picture_id: is_doubtful(one) for one in list_questions(archive) if isinstance(one, PinsQuestion)
    } == {
        1: doubtful,
        2: False,
    }


def test_doubtful_times_are_asked_by_reason(archive: Archive):
    with archive.store.transaction():
        for picture_id, doubt in ((1, "file"), (2, "hour"), (3, "file")):
            words = {
                "file": "only the file's own time is known",
                "hour": "this hour came twice when the clocks went back",
            }
            archive.store.run("UPDATE picture SET time_doubt = ? WHERE picture_id = ?", words[doubt], picture_id)

    first, second = list_questions(archive)
    assert isinstance(first, TimesQuestion)
    assert isinstance(second, TimesQuestion)
    assert [[one.picture_id for one in asked.pictures] for asked in (first, second)] == [[1, 3], [2]]

    accept_time(archive, get_picture(archive.store, 1))
    left = [one for one in list_questions(archive) if isinstance(one, TimesQuestion)]
    assert [[one.picture_id for one in asked.pictures] for asked in left] == [[2], [3]]


def test_all_that_is_sure_is_accepted_in_one_step_and_asked_again_when_that_is_taken_back(archive: Archive):
    hose = thing(archive, "17")
    pin_tag(archive, hose, "A", get_picture(archive.store, 4), Box(0.5, 0.5))  # what the others are carried from
    propose(archive, hose, "A", {1: 0.9, 2: 0.5})
    propose_pairs(archive, (2, 3, 4, 0.8), (1, 1, 2, 0.3))
    before = list_to_sort(archive)

    found, pairs = sure_ones(before, 0.8)
    assert [(one.picture_id, one.confidence) for one in found] == [(1, 0.9)]
    assert sure_ones(before, 0.9)[0] == found
    assert [(one.before_id, one.after_id) for one in pairs] == [(3, 4)]

    accept_many(archive, found, pairs)
    assert sure_ones(list_to_sort(archive), 0.8) == ([], [])
    assert undo(archive) == ["1 pin and 1 pair accepted"]
    assert list_to_sort(archive) == before


def test_both_ends_of_a_number_are_refused_in_one_step_and_not_asked_again(archive: Archive):
    hose = thing(archive, "17")
    for end in ("A", "B"):
        propose(archive, hose, "A" if end == "A" else "B", {1: 0.45}, source="read")
    (entry,) = proposals_on(archive, 1)

    reject_many(archive, entry.both)

    assert proposals_on(archive, 1) == []
    assert set(pins.list_rejections(archive.store, archive.job.job_id)) == {
        (hose.tag_id, "A", 1),
        (hose.tag_id, "B", 1),
    }
    assert undo(archive) == ["17 rejected on P1_0001.jpg"]
    assert proposals_on(archive, 1) == [entry]


def test_looking_at_what_waits_writes_nothing(archive: Archive):
    propose(archive, thing(archive, "17"), "A", {1: 0.9})
    stamp = archive.store.stamp()

    list_to_sort(archive)
    proposals_on(archive, 1)

    assert archive.store.stamp() == stamp


def test_another_job_is_asked_about_its_own_alone(archive: Archive):
    propose(archive, thing(archive, "17"), "A", {1: 0.9})
    by_machine(archive, 1, 2)

    new_job(archive, "Tern", zone="UTC")

    assert list_to_sort(archive) == ()
    assert pictures_to_answer(archive, after=1) == []
