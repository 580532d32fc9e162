"""Originals, photos, clips and frames with the times that their cameras wrote."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta, timezone

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.errors import NotFound
from asfound.model.capture import Taken, TimeDoubt, TimeSource
from asfound.store import frames, jobs, pictures, pins, spots
from asfound.store.database import Store
from asfound.store.pictures import NewClip, NewPicture, get_clip, get_picture, save_arrival, save_clip, save_original
from tests.store.filled import NOW, filled_store

LOCAL = datetime(2025, 10, 11, 9, 48, 50, 123456)
TAKEN = Taken(LOCAL, 120, TimeSource.EXIF_ORIGINAL)
PHOTO = NewPicture(
    1, 1, "photo", "P1_9.jpg", "ab12", 1, TAKEN, 4000, 3000, 6, 27.5, -(2**63), 81.25, None, None, "ends too soon"
)


def original(store: Store, digest: str, kind: str = "photo") -> None:
    save_original(store, digest=digest, suffix=".jpg", size_bytes=7, kind=kind, stored_at=NOW)


def clip(store: Store, digest: str = "c1", taken: Taken | None = TAKEN, file: str = "VID_1.mp4") -> int:
    original(store, digest, "clip")
    return save_clip(store, NewClip(1, 1, file, digest, 1, taken, 12.5, 1920, 1080, 90, "no sound"))


def frame(store: Store, clip_id: int, seconds: float) -> int:
    new = NewPicture(
        1, 1, "frame", f"VID_1 {seconds}", None, 1, None, 1920, 1080, clip_id=clip_id, clip_seconds=seconds
    )
    return pictures.save_picture(store, new)


def test_photo_comes_back_as_it_was_written(store: Store):
    original(store, "ab12")

    picture = get_picture(store, pictures.save_picture(store, PHOTO))

    for name in ("job_id", "dump_id", "kind", "file", "digest", "camera_id", "width_px", "height_px", "orientation"):
        assert getattr(picture, name) == getattr(PHOTO, name)
    for name in ("focal_35mm", "phash", "sharpness", "clip_id", "clip_seconds", "trouble"):
        assert getattr(picture, name) == getattr(PHOTO, name)
    assert (picture.taken_local, picture.offset_minutes, picture.time_source) == (LOCAL, 120, TimeSource.EXIF_ORIGINAL)
    assert picture.time_doubt is None


def test_clip_comes_back_as_it_was_written(store: Store):
    found = get_clip(store, clip(store))

    assert (found.job_id, found.dump_id, found.file, found.digest, found.camera_id) == (1, 1, "VID_1.mp4", "c1", 1)
    assert (found.duration_s, found.width_px, found.height_px, found.rotation_deg) == (12.5, 1920, 1080, 90)
    assert (found.trouble, found.taken_local, found.offset_minutes) == ("no sound", LOCAL, 120)


offsets = st.none() | st.integers(-14 * 60, 14 * 60)


@settings(max_examples=40, deadline=None)
@given(local=st.datetimes(datetime(1970, 1, 2), datetime(2100, 1, 1)), offset=offsets)
def test_moment_is_the_local_time_less_its_offset(
    local: datetime, offset: int | None, tmp_path_factory: pytest.TempPathFactory
):
    """Against the arithmetic of Python's own aware datetimes."""
    with filled_store(tmp_path_factory.mktemp("time")) as store:
        new = replace(PHOTO, digest=None, taken=Taken(local, offset, TimeSource.FILE_NAME))

        picture = get_picture(store, pictures.save_picture(store, new))

    assert (picture.taken_local, picture.time_source) == (local, TimeSource.FILE_NAME)
    if offset is None:
        assert (picture.taken_at, picture.taken_utc_s) == (local, None)
        return
    aware = local.replace(tzinfo=timezone(timedelta(minutes=offset)))
    assert picture.taken_at == aware
    assert picture.taken_at.utcoffset() == aware.utcoffset()
    assert picture.taken_utc_s == pytest.approx(aware.timestamp(), abs=1e-5)


def test_picture_without_a_time_says_so(store: Store):
    picture = get_picture(store, 1)

    assert (picture.taken_local, picture.taken_at, picture.taken_utc_s, picture.offset_minutes) == (None,) * 4
    assert picture.time_source is TimeSource.UNKNOWN


@pytest.mark.parametrize(
    ("doubt", "seconds", "left"),
    [
        (TimeDoubt.NEVER_SET, 0.0, True),
        (TimeDoubt.NEVER_SET, 86_399.0, True),
        (TimeDoubt.NEVER_SET, 86_400.0, False),
        (TimeDoubt.TO_COME, -86_400.0, False),
        (TimeDoubt.TO_COME, -86_399.0, True),
        (TimeDoubt.REPEATED_HOUR, 1e9, True),
    ],
)
def test_doubt_of_a_wrong_clock_ends_when_it_is_put_right_by_a_day_or_more(
    store: Store, doubt: TimeDoubt, seconds: float, left: bool
):
    new = replace(PHOTO, digest=None, taken=Taken(LOCAL, 120, TimeSource.EXIF_ORIGINAL, doubt))
    picture_id = pictures.save_picture(store, new)

    jobs.correct_clock(store, 1, seconds, None)

    assert get_picture(store, picture_id).time_doubt == (doubt if left else None)


def test_unknown_pictures_and_clips_are_told_as_such(store: Store):
    with pytest.raises(NotFound, match="no picture 99"):
        get_picture(store, 99)
    with pytest.raises(NotFound, match="no clip 99"):
        get_clip(store, 99)
    assert pictures.find_picture_by_digest(store, 1, "none") is None
    assert pictures.find_clip_by_digest(store, 1, "none") is None
    assert pictures.suffix_of_original(store, "none") is None


def test_original_is_written_down_once(store: Store):
    original(store, "ab12")
    save_original(store, digest="ab12", suffix=".png", size_bytes=9, kind="clip", stored_at=NOW)
    original(store, "aa00")

    assert pictures.suffix_of_original(store, "ab12") == ".jpg"
    assert pictures.list_originals(store) == [("aa00", ".jpg", 7), ("ab12", ".jpg", 7)]


def test_picture_is_found_by_its_bytes_within_its_job(store: Store):
    original(store, "ab12")
    picture_id = pictures.save_picture(store, PHOTO)
    clip_id = clip(store)

    found, found_clip = pictures.find_picture_by_digest(store, 1, "ab12"), pictures.find_clip_by_digest(store, 1, "c1")
    assert found is not None
    assert found_clip is not None
    assert (found.picture_id, found_clip.clip_id) == (picture_id, clip_id)
    assert pictures.find_picture_by_digest(store, 2, "ab12") is None
    assert pictures.find_clip_by_digest(store, 2, "c1") is None


def test_picture_is_found_by_every_name_it_came_under(store: Store):
    original(store, "ab12")
    picture_id = pictures.save_picture(store, PHOTO)
    twin = pictures.save_picture(store, replace(PHOTO, digest=None))
    for name in ("copy of P1_9.jpg", "P1_9.jpg"):
        save_arrival(store, dump_id=1, digest="ab12", name=name, raw_name=name.encode(), modified_ns=5)

    def ids(name: str, job_id: int = 1) -> list[int]:
        return [picture.picture_id for picture in pictures.find_pictures_by_file(store, job_id, name)]

    assert ids("P1_9.jpg") == [picture_id, twin]
    assert ids("copy of P1_9.jpg") == [picture_id]
    assert ids("P1_9.jpg", 2) == ids("none") == []


def test_clips_stand_in_order_of_time_and_those_without_one_last(store: Store):
    without = clip(store, "c1", None)
    late = clip(store, "c2", Taken(LOCAL + timedelta(hours=1), 120, TimeSource.CLIP_KEY))
    early = clip(store, "c3", Taken(LOCAL + timedelta(hours=1), 180, TimeSource.CLIP_KEY))

    assert [one.clip_id for one in pictures.list_clips(store, 1)] == [early, late, without]
    assert pictures.list_clips(store, 2) == []


def test_frames_stand_in_order_of_offset_and_follow_their_clip_to_another_camera(store: Store):
    clip_id, other = clip(store), jobs.save_camera(store, 1, "K1")
    late, early = frame(store, clip_id, 7.5), frame(store, clip_id, 1.25)

    pictures.give_clip_to_camera(store, clip_id, other)
    pictures.lend_focal_length(store, other, 26.0)
    pictures.lend_focal_length(store, other, 99.0)
    pictures.lend_focal_length(store, 1, 50.0)

    found = pictures.find_frames(store, clip_id)
    assert [(one.picture_id, one.clip_seconds, one.clip_id) for one in found] == [
        (early, 1.25, clip_id),
        (late, 7.5, clip_id),
    ]
    assert {(one.camera_id, one.focal_35mm, one.kind) for one in found} == {(other, 26.0, "frame")}
    assert get_clip(store, clip_id).camera_id == other
    assert get_picture(store, 1).focal_35mm is None, "a photo says its own"


def test_changed_row_is_never_handed_out_as_it_was(store: Store):
    """Pictures are kept by all that their row says."""
    assert get_picture(store, 1).camera_id == 1
    store.run("UPDATE picture SET sharpness = 5.5 WHERE picture_id = 1")
    assert get_picture(store, 1).sharpness == 5.5
    jobs.join_cameras(store, jobs.save_camera(store, 1, "K1"), 1)
    assert get_picture(store, 1).camera_id == 2


def test_kept_rows_are_bounded(store: Store, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(pictures, "_MOST_MADE", 2)
    monkeypatch.setattr(pictures, "_MADE", {})

    for _ in range(2):
        assert [get_picture(store, number).picture_id for number in (1, 2, 3)] == [1, 2, 3]

    assert len(pictures._MADE) <= 2


def test_frame_taken_by_hand_goes_when_its_step_is_taken_back_with_all_that_was_made_of_it(store: Store):
    clip_id = clip(store)
    with store.step("frame", NOW):
        picture_id = frame(store, clip_id, 3.0)
        frames.let_undo_drop(store, picture_id)
    spots.save_membership(store, 1, {picture_id: 1, 1: 1}, {})
    spots.save_examined(store, picture_id, "own", b"place")
    spots.mark_spots_fresh(store)

    store.undo(NOW)

    with pytest.raises(NotFound):
        get_picture(store, picture_id)
    assert spots.load_membership(store, 1) == {1: 1}
    assert spots.are_spots_stale(store)
    assert store.rows("PRAGMA foreign_key_check") == []


def test_frame_stays_while_a_word_of_the_person_is_about_it(store: Store):
    """Said outside a step, so that undo cannot take it back first: the picture is kept rather than the word lost."""
    clip_id = clip(store)
    with store.step("frame", NOW):
        picture_id = frame(store, clip_id, 3.0)
        frames.let_undo_drop(store, picture_id)
    pins.save_pin(store, 1, "A", picture_id, NOW, x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None)

    store.undo(NOW)

    assert get_picture(store, picture_id).clip_seconds == 3.0
    assert [pin.picture_id for pin in pins.find_pins(store, 1)] == [picture_id]
