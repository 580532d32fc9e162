"""Two names of one camera: joined, split again, and the clock that holds for both."""

from __future__ import annotations

from datetime import datetime

import pytest

from asfound.actions.archive import Archive
from asfound.actions.camera import count_taken, join_cameras, split_camera
from asfound.actions.clock import get_camera, list_cameras, parse_seconds
from asfound.actions.undo import undo
from asfound.errors import Ambiguous, Misused, NotFound
from asfound.model.pictures import Camera
from asfound.store import jobs
from tests.four_pictures import four_pictures

archive = pytest.fixture(four_pictures)


@pytest.fixture
def other(archive: Archive) -> Camera:
    with archive.store.transaction():
        camera_id = jobs.save_camera(archive.store, archive.job.job_id, "VID")
        jobs.correct_clock(archive.store, camera_id, -240.0, None)
    return get_camera(archive, "VID")


def test_camera_is_known_by_part_of_a_name_and_asked_back_where_two_fit(archive: Archive, other: Camera):
    assert get_camera(archive, "pocket").name == "Pocket P1"
    assert get_camera(archive, str(other.camera_id)) == other
    with archive.store.transaction():
        jobs.save_camera(archive.store, archive.job.job_id, "Pocket P2")

    with pytest.raises(Ambiguous, match="more than one camera"):
        get_camera(archive, "pocket")
    with pytest.raises(NotFound, match="Known: Pocket P1"):
        get_camera(archive, "lens")


def test_joined_camera_brings_its_clock_where_the_first_has_none(archive: Archive, other: Camera):
    joined = join_cameras(archive, get_camera(archive, "Pocket P1"), other)

    assert joined.also == ("VID",)
    assert [one.seconds for one in joined.corrections] == [-240.0]
    assert [camera.name for camera in list_cameras(archive)] == ["Pocket P1"]
    assert get_camera(archive, "vid") == joined, "its old name still leads to it"


def test_clock_of_the_first_camera_goes_before_that_of_the_other(archive: Archive, other: Camera):
    first = get_camera(archive, "Pocket P1")
    with archive.store.transaction():
        jobs.correct_clock(archive.store, first.camera_id, 60.0, datetime(2025, 10, 26, 3))

    joined = join_cameras(archive, get_camera(archive, "Pocket P1"), other)

    assert [one.seconds for one in joined.corrections] == [60.0]


def test_split_camera_has_its_own_clock_again_and_undo_joins_them(archive: Archive, other: Camera):
    join_cameras(archive, get_camera(archive, "Pocket P1"), other)

    split = split_camera(archive, "vid")

    assert (split.name, [one.seconds for one in split.corrections]) == ("VID", [-240.0])
    assert undo(archive) == ["VID is not Pocket P1"]
    assert get_camera(archive, "Pocket P1").also == ("VID",)
    assert undo(archive) == ["VID is Pocket P1"]
    assert [camera.name for camera in list_cameras(archive)] == ["Pocket P1", "VID"]


def test_what_is_one_already_or_was_never_joined_is_told(archive: Archive, other: Camera):
    with pytest.raises(Misused, match="is one camera already"):
        join_cameras(archive, other, other)
    with pytest.raises(NotFound, match='under the name "VID"'):
        split_camera(archive, "VID")


def test_pictures_of_both_names_count_as_one(archive: Archive, other: Camera):
    first = get_camera(archive, "Pocket P1")
    assert count_taken(archive)[first.camera_id] == (4, 0)

    joined = join_cameras(archive, other, first)

    assert count_taken(archive) == {joined.camera_id: (4, 0)}


@pytest.mark.parametrize(
    ("words", "seconds"), [("+4m", 240.0), ("-1h4m", -3840.0), ("90s", 90.0), ("0", 0.0), ("1d", 86400.0), ("4", 4.0)]
)
def test_length_of_time_is_read_as_people_write_it(words: str, seconds: float):
    """By hand."""
    assert parse_seconds(words) == seconds


@pytest.mark.parametrize("words", ["", "soon", "1h 4 apples", "200000d"])
def test_what_is_no_length_of_time_is_refused(words: str):
    with pytest.raises(Misused):
        parse_seconds(words)
