"""Jobs, cameras and their clocks, dumps and settings."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.errors import NotFound
from asfound.model.capture import Taken, TimeSource
from asfound.model.pictures import ClockCorrection
from asfound.store import jobs
from asfound.store.database import Store
from asfound.store.pictures import NewClip, NewPicture, get_picture, save_clip, save_original, save_picture
from tests.store.filled import NOW, filled_store

LOCAL = datetime(2025, 10, 11, 9, 48, 50)


def photo(store: Store, camera_id: int | None, taken: Taken | None, name: str = "x.jpg", kind: str = "photo") -> int:
    return save_picture(store, NewPicture(1, 1, kind, name, None, camera_id, taken, 400, 300))


def clip(store: Store, camera_id: int | None, taken: Taken | None, digest: str) -> int:
    save_original(store, digest=digest, suffix=".mp4", size_bytes=1, kind="clip", stored_at=NOW)
    return save_clip(store, NewClip(1, 1, "VID.mp4", digest, camera_id, taken, 2.0, 640, 480, 0))


def test_first_job_is_asked_for_in_words(tmp_path: Path):
    with Store(tmp_path / "asfound.sqlite") as store:
        with pytest.raises(NotFound, match="asfound job new"):
            jobs.current_job(store)
        assert jobs.list_jobs(store) == []


def test_new_job_is_the_one_that_commands_mean_until_another_is_chosen(store: Store):
    later = jobs.add_job(store, "Tractor", "Etc/UTC", NOW + timedelta(days=1))

    assert jobs.current_job(store) == later
    assert [job.name for job in jobs.list_jobs(store)] == ["Sallow", "Tractor"]
    jobs.use_job(store, 1)
    assert jobs.current_job(store).name == "Sallow"
    with pytest.raises(NotFound, match="no job 9"):
        jobs.use_job(store, 9)
    assert jobs.current_job(store).name == "Sallow"


def test_job_comes_back_as_it_was_entered(store: Store):
    jobs.change_job(
        store, 1, name="Sallow II", zone="Etc/UTC", front_means="belt end", left_means="port", turning_means="clockwise"
    )
    jobs.add_job(store, "Other", "Europe/Amsterdam", NOW)

    job = jobs.get_job(store, 1)
    assert (job.job_id, job.name, job.zone, job.created_at) == (1, "Sallow II", "Etc/UTC", NOW)
    assert (job.front_means, job.left_means, job.turning_means) == ("belt end", "port", "clockwise")
    assert jobs.get_job(store, 2).front_means == ""


def test_camera_is_made_once_in_each_job(store: Store):
    first = jobs.save_camera(store, 1, "K1")

    assert jobs.save_camera(store, 1, "K1") == first
    assert jobs.save_camera(store, 2, "K1") != first
    assert [camera.name for camera in jobs.list_cameras(store, 1)] == ["K1", "P1"]


@settings(max_examples=40, deadline=None)
@given(
    corrections=st.dictionaries(
        st.none() | st.datetimes(datetime(2025, 1, 1), datetime(2026, 1, 1)).map(lambda at: at.replace(microsecond=0)),
        st.integers(-90_000, 90_000).map(float),
        max_size=4,
    ),
    local=st.datetimes(datetime(2025, 1, 1), datetime(2026, 1, 1)).map(lambda at: at.replace(microsecond=0)),
)
def test_database_corrects_a_time_as_the_camera_itself_would(
    corrections: dict[datetime | None, float], local: datetime, tmp_path_factory: pytest.TempPathFactory
):
    """The view in SQL and `Camera.correction_s` say the same of every time."""
    with filled_store(tmp_path_factory.mktemp("clock")) as store:
        camera_id = jobs.save_camera(store, 1, "K1")
        picture_id = photo(store, camera_id, Taken(local, 60, TimeSource.EXIF_ORIGINAL))
        for since, seconds in corrections.items():
            jobs.correct_clock(store, camera_id, seconds, since)

        camera = next(one for one in jobs.list_cameras(store, 1) if one.camera_id == camera_id)
        picture = get_picture(store, picture_id)

        assert {(c.since, c.seconds) for c in camera.corrections} == set(corrections.items())
        assert picture.taken_at is not None
        moved = picture.taken_at.replace(tzinfo=None) - local
        assert moved == timedelta(seconds=camera.correction_s(local))
        assert picture.taken_utc_s == picture.taken_at.timestamp()


def test_correction_is_replaced_and_dropped_by_its_time(store: Store):
    since = datetime(2025, 10, 26, 3)
    for seconds in (-240.0, -241.0):
        jobs.correct_clock(store, 1, seconds, None)
        jobs.correct_clock(store, 1, seconds - 3600, since)
    (camera,) = jobs.list_cameras(store, 1)
    assert camera.corrections == (ClockCorrection(None, -241.0), ClockCorrection(since, -3841.0))

    jobs.drop_correction(store, 1, None)
    assert jobs.list_cameras(store, 1)[0].corrections == (ClockCorrection(since, -3841.0),)
    jobs.drop_correction(store, 1, since)
    assert jobs.list_cameras(store, 1)[0].corrections == ()


def test_joined_camera_is_named_with_the_one_it_is_and_takes_its_clock(store: Store):
    other, third = jobs.save_camera(store, 1, "VID"), jobs.save_camera(store, 1, "IMG")
    picture_id = photo(store, other, Taken(LOCAL, 120, TimeSource.EXIF_ORIGINAL))
    jobs.correct_clock(store, 1, -240.0, None)

    jobs.join_cameras(store, other, third)
    jobs.join_cameras(store, 1, other)

    (camera,) = jobs.list_cameras(store, 1)
    assert (camera.camera_id, camera.name, camera.also) == (1, "P1", ("IMG", "VID"))
    picture = get_picture(store, picture_id)
    assert (picture.camera_id, picture.taken_local) == (1, LOCAL)
    assert picture.taken_at is not None
    assert picture.taken_at.isoformat() == "2025-10-11T09:44:50+02:00"

    assert jobs.split_camera(store, 1, "VID")
    assert not jobs.split_camera(store, 1, "VID")
    assert get_picture(store, picture_id).camera_id == other
    assert [camera.name for camera in jobs.list_cameras(store, 1)] == ["P1", "VID"]


def test_cameras_of_which_nobody_said_anything_and_that_made_nothing_are_forgotten(store: Store):
    kept = {}
    for name in ("corrected", "joined", "took a photo", "took a clip", "idle", "elsewhere"):
        kept[name] = jobs.save_camera(store, 2 if name == "elsewhere" else 1, name)
    jobs.correct_clock(store, kept["corrected"], 5.0, None)
    jobs.join_cameras(store, 1, kept["joined"])
    photo(store, kept["took a photo"], None)
    clip(store, kept["took a clip"], None, "c1")

    jobs.drop_unused_cameras(store, 1)

    names = {row["name"] for row in store.rows("SELECT name FROM camera")}
    assert names == {"P1", "corrected", "joined", "took a photo", "took a clip", "elsewhere"}


@pytest.mark.parametrize(
    ("kind", "taken", "tells"),
    [
        ("photo", Taken(LOCAL, 120, TimeSource.EXIF_ORIGINAL), True),
        ("photo", Taken(LOCAL, 120, TimeSource.EXIF_ORIGINAL, None, True), False),
        ("photo", Taken(LOCAL, None, TimeSource.EXIF_ORIGINAL), False),
        ("photo", None, False),
        ("clip", Taken(LOCAL, 0, TimeSource.CLIP_HEADER, None, True), True),
        ("clip", Taken(LOCAL, 120, TimeSource.CLIP_KEY), True),
        ("clip", Taken(LOCAL, 120, TimeSource.FILE_NAME), False),
    ],
)
def test_camera_that_tells_its_offset(store: Store, kind: str, taken: Taken | None, tells: bool):
    camera_id = jobs.save_camera(store, 1, "K1")
    photo(store, camera_id, taken) if kind == "photo" else clip(store, camera_id, taken, "c1")
    photo(store, None, Taken(LOCAL, 120, TimeSource.EXIF_ORIGINAL))

    assert jobs.cameras_telling_offset(store, 1) == ({camera_id} if tells else set())


def test_what_each_camera_took_is_counted_with_the_camera_that_it_is(store: Store):
    other = jobs.save_camera(store, 1, "VID")
    photo(store, other, None)
    clip(store, other, None, "c1")
    clip(store, None, None, "c2")
    photo(store, other, None, kind="frame")

    assert jobs.count_taken(store, 1) == {1: (3, 0), other: (1, 1), 0: (0, 1)}
    jobs.join_cameras(store, 1, other)
    assert jobs.count_taken(store, 1) == {1: (4, 1), 0: (0, 1)}


def test_latest_dump_is_told_and_whether_it_ran_to_its_end(store: Store):
    assert jobs.last_dump_at(store, 1) == NOW
    assert jobs.last_dump_at(store, 2) is None
    later = jobs.start_dump(store, 1, "phone", NOW + timedelta(hours=1))
    jobs.finish_dump(store, later, NOW + timedelta(hours=2))

    assert jobs.last_dump_at(store, 1) == NOW + timedelta(hours=1)
    rows = [tuple(row) for row in store.rows("SELECT sources, finished_at FROM dump ORDER BY dump_id")]
    assert rows == [("card", None), ("phone", (NOW + timedelta(hours=2)).isoformat())]


def test_doubtful_time_called_right_is_said_once(store: Store):
    jobs.accept_time(store, 2)
    jobs.accept_time(store, 2)

    assert jobs.accepted_times(store, 1) == {2}
    assert jobs.accepted_times(store, 2) == set()


def test_setting_is_what_was_saved_last(store: Store):
    assert jobs.get_setting(store, "zoom") is None
    for value in ("1", "2"):
        jobs.save_setting(store, "zoom", value)

    assert jobs.get_setting(store, "zoom") == "2"
