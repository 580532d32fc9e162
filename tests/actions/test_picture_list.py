"""Pictures as they are listed: by day, with spot, stage and numbers."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from asfound.actions import log, spots
from asfound.actions.archive import Archive
from asfound.actions.job import new_job
from asfound.actions.known import known_pictures, known_tags
from asfound.actions.picture_list import list_days, read_picture
from asfound.actions.pin import Box, pin_tag
from asfound.actions.undo import undo
from asfound.errors import NotFound
from asfound.model.tags import Tag
from asfound.store.pictures import get_picture
from tests.four_pictures import NOON, four_pictures

archive = pytest.fixture(four_pictures)


def thing(archive: Archive, number: str, order: int = 1) -> Tag:
    return next(one for one in known_tags(archive).values() if (one.number, one.order) == (number, order))


def test_numbers_on_a_picture_stand_in_order_with_their_ends(archive: Archive):
    for number, end in (("112", "A"), ("17", "B"), ("17", "A")):
        tag = thing(archive, number)
        pin_tag(archive, tag, "A" if end == "A" else "B", get_picture(archive.store, 1), Box(0.5, 0.5))

    assert read_picture(archive, 1).numbers == ("17A", "17B", "112A")
    assert read_picture(archive, 2).numbers == ()


def test_a_picture_is_from_before_what_is_pinned_on_it_came_off_or_from_after(archive: Archive):
    hose = thing(archive, "17")
    for picture_id in (1, 3):
        pin_tag(archive, hose, "A", get_picture(archive.store, picture_id), Box(0.5, 0.5))
    assert read_picture(archive, 1).stage == ""

    taken = get_picture(archive.store, 2).taken_at
    assert taken is not None
    log.mark_off(archive, hose, at=taken)

    assert [read_picture(archive, picture_id).stage for picture_id in (1, 2, 3)] == ["before", "", "after"]
    undo(archive)
    assert read_picture(archive, 3).stage == ""


def test_a_picture_is_from_after_as_soon_as_one_of_the_things_on_it_is_off(archive: Archive):
    """Of the very moment at which something came off a picture still shows it as it was."""
    for number, since in (("17", 2), ("112", 4)):
        tag = thing(archive, number)
        for picture_id in (1, 2, 3):
            pin_tag(archive, tag, "A", get_picture(archive.store, picture_id), Box(0.5, 0.5))
        log.mark_off(archive, tag, at=get_picture(archive.store, since).taken_at)

    assert [read_picture(archive, picture_id).stage for picture_id in (1, 2, 3)] == ["before", "before", "after"]


def test_a_picture_without_a_time_has_no_stage(archive: Archive):
    hose = thing(archive, "17")
    pin_tag(archive, hose, "A", get_picture(archive.store, 1), Box(0.5, 0.5))
    log.mark_off(archive, hose)

    with archive.store.transaction():
        archive.store.run("UPDATE picture SET taken_local = NULL, written_utc_s = NULL WHERE picture_id = 1")

    assert read_picture(archive, 1).stage == ""


def test_where_a_picture_belongs_is_told_with_the_name_of_the_spot(archive: Archive):
    spots.name_spot(archive, spots.get_spot(archive, "1"), "fuel rail")
    spots.move_pictures(archive, [3], None)

    found = [read_picture(archive, picture_id) for picture_id in (1, 3, 4)]

    assert [(one.spot_id, one.spot_name) for one in found] == [(1, "fuel rail"), (None, ""), (2, "")]


def test_a_picture_that_is_not_there_is_named(archive: Archive):
    with pytest.raises(NotFound, match="99"):
        read_picture(archive, 99)


def test_days_stand_in_order_and_what_has_no_time_comes_last(archive: Archive):
    later = (NOON + timedelta(days=1)).replace(tzinfo=None).isoformat()
    with archive.store.transaction():
        archive.store.run("UPDATE picture SET taken_local = ? WHERE picture_id = 1", later)
        archive.store.run("UPDATE picture SET taken_local = NULL, written_utc_s = NULL WHERE picture_id = 2")

    days = list_days(archive)

    assert [(one.day, [picture.picture_id for picture in one.pictures]) for one in days] == [
        (date(2025, 10, 18), [3, 4]),
        (date(2025, 10, 19), [1]),
        (None, [2]),
    ]
    assert (days[0].first_at, days[0].last_at) == tuple(known_pictures(archive)[one].taken_at for one in (3, 4))
    assert days[2].first_at is None


def test_a_day_names_its_spots_once_in_the_order_of_their_pictures(archive: Archive):
    spots.move_pictures(archive, [1], spots.get_spot(archive, "2"))
    spots.move_pictures(archive, [4], None)

    assert [one.spot_ids for one in list_days(archive)] == [(2, 1)]


def test_another_job_has_days_of_its_own(archive: Archive):
    new_job(archive, "Tern", zone="UTC")

    assert list_days(archive) == []
    assert dict(known_pictures(archive)) == {}
