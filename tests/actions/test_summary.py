"""What is open in a job, counted for the first screen."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from asfound.actions import bags, log, spots
from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import change_job, new_job
from asfound.actions.known import known_tags
from asfound.actions.pin import Box, pin_tag
from asfound.actions.resume import hand_over
from asfound.actions.settings import accept_time
from asfound.actions.summary import summarize
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import undo
from asfound.core.match import IN_USE
from asfound.store.pictures import get_picture
from asfound.store.spots import save_examined
from tests.four_pictures import NOON, four_pictures

archive = pytest.fixture(four_pictures)


def test_a_job_of_which_nothing_is_written_down_counts_nothing(tmp_path: Path):
    with open_archive(tmp_path / "archive", create=True, now=lambda: NOON) as empty:
        new_job(empty, "Sallow", zone="UTC")
        found = summarize(empty)

    counts = (
        found.pictures,
        found.clips,
        found.spots,
        found.to_sort,
        found.tags,
        found.gaps,
        found.off,
        found.unsorted,
    )
    assert (found.name, counts) == ("Sallow", (0,) * 8)
    assert (found.last_dump_at, found.last_step, found.was, found.next_up, found.meanings) == (None, "", None, (), "")


def test_pictures_spots_and_tags_are_counted(archive: Archive):
    spots.name_spot(archive, spots.get_spot(archive, "1"), "fuel rail")
    hose = next(one for one in known_tags(archive).values() if one.number == "17")
    for picture_id in (1, 2):
        pin_tag(archive, hose, "A", get_picture(archive.store, picture_id), Box(0.5, 0.5))

    found = summarize(archive)

    assert (found.pictures, found.spots, found.spots_without_name) == (4, 2, 1)
    assert (found.tags, found.tags_without_picture) == (4, 3)
    assert found.last_dump_at == NOON
    assert found.last_step == "17 A pinned on P1_0002.jpg"


def test_what_came_off_is_counted_with_what_is_back_and_taken_back_again(archive: Archive):
    first, second, *_ = known_tags(archive).values()
    log.mark_off(archive, first)
    log.mark_off(archive, second)
    log.mark_refitted(archive, second)
    assert (summarize(archive).off, summarize(archive).refitted) == (2, 1)

    undo(archive)
    assert (summarize(archive).off, summarize(archive).refitted) == (2, 0)


def test_pictures_are_unsorted_until_the_method_in_use_has_seen_them(archive: Archive):
    assert summarize(archive).unsorted == 4

    with archive.store.transaction():
        save_examined(archive.store, 1, IN_USE, b"")
        save_examined(archive.store, 2, "another", b"")

    assert summarize(archive).unsorted == 3


def test_doubtful_times_of_one_kind_are_one_question_until_they_are_accepted(archive: Archive):
    with archive.store.transaction():
        doubt = "only the file's own time is known"
        archive.store.run("UPDATE picture SET time_doubt = ? WHERE picture_id IN (1, 2)", doubt)
    assert summarize(archive).to_sort == 1

    for picture_id in (1, 2):
        accept_time(archive, get_picture(archive.store, picture_id))

    assert summarize(archive).to_sort == 0


def test_a_gap_that_came_too_late_is_counted_but_cannot_be_closed(archive: Archive):
    open_now = summarize(archive)
    log.mark_off(archive, next(one for one in known_tags(archive).values() if one.number == "17"))

    now = summarize(archive)

    assert open_now.gaps == open_now.gaps_closable > 0
    assert (now.gaps, now.gaps_closable) == (open_now.gaps, open_now.gaps_closable - 1)


def test_where_the_work_was_left_is_told_once_something_is_in_the_log(archive: Archive):
    hand_over(archive, "fuel is off")
    assert summarize(archive).was is None

    bags.save_bag(archive, "B1", bags.BagWords(count_out=4))
    log.mark_off(archive, next(one for one in known_tags(archive).values() if one.number == "17"))
    was = summarize(archive).was

    assert was is not None
    assert (was.note, len(was.lines), [bag.label for bag in was.to_count]) == ("fuel is off", 1, ["B1"])
    assert any("17" in step for step in summarize(archive).next_up)


def test_meanings_are_a_line_as_soon_as_one_is_said(archive: Archive):
    change_job(archive, left_means="port")

    assert summarize(archive).meanings == "front: not said; left: port; turning: not said"


def test_each_job_is_counted_by_itself_and_as_it_was(archive: Archive):
    first_id, before = archive.job.job_id, summarize(archive)

    new_job(archive, "Tern", zone="UTC")
    add_tag(archive, "1", TagWords())

    assert (summarize(archive).name, summarize(archive).pictures, summarize(archive).tags) == ("Tern", 0, 1)
    with open_archive(archive.folder, now=lambda: NOON, job_id=first_id) as again:
        now = summarize(again)
    # What was done last is one list for the whole archive.
    assert replace(now, last_step="") == replace(before, last_step="")
