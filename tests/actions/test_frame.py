"""A frame taken out of a clip by hand: once for each moment, with the time of that moment, and gone again with undo."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from asfound.actions import resolve
from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.frame import frame_name, take_frame
from asfound.actions.pin import Box, pin_tag
from asfound.actions.tag import TagWords, add_tag
from asfound.actions.undo import undo
from asfound.errors import Misused, NotFound
from asfound.model.pictures import Clip
from asfound.store.pictures import find_frames, list_clips, list_pictures
from tests.built_once import copy_of
from tests.media import samples
from tests.small_archive import empty_archive, now


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    """A clip of one second and what the dump itself took out of it."""
    with open_archive(copy_of(_make, tmp_path / "archive"), now=now) as opened:
        yield opened


def _make(folder: Path) -> None:
    with empty_archive(folder) as archive:
        samples.write_clip(folder.parent / "V1.mp4", seconds=1.0, texts={"creation_time": "2025-10-18T07:42:11Z"})
        add_dump(archive, [folder.parent / "V1.mp4"], workers=0)


@pytest.fixture
def clip(archive: Archive) -> Clip:
    (found,) = list_clips(archive.store, archive.job.job_id)
    return found


def test_frame_is_a_picture_of_its_moment(archive: Archive, clip: Clip):
    picture = take_frame(archive, clip, 0.5004)

    assert (picture.kind, picture.clip_id, picture.clip_seconds) == ("frame", clip.clip_id, 0.5)
    assert (picture.file, picture.width_px, picture.height_px) == ("V1.mp4@0.50s", 320, 240)
    assert (picture.camera_id, picture.time_source, picture.digest) == (clip.camera_id, clip.time_source, None)
    assert clip.taken_local is not None
    assert picture.taken_local == clip.taken_local + timedelta(seconds=0.5)
    assert picture.phash is not None
    assert resolve.get_picture(archive, "V1.mp4@0.50s") == picture


def test_frame_of_a_moment_is_taken_once(archive: Archive, clip: Clip):
    first = take_frame(archive, clip, 0.5)
    count = len(list_pictures(archive.store, archive.job.job_id))

    assert take_frame(archive, clip, 0.5) == first
    assert len(list_pictures(archive.store, archive.job.job_id)) == count
    assert take_frame(archive, clip, 0.6) != first


def test_frame_that_the_dump_took_is_given_back(archive: Archive, clip: Clip):
    known = find_frames(archive.store, clip.clip_id)[0]
    assert known.clip_seconds is not None

    assert take_frame(archive, clip, known.clip_seconds) == known


@pytest.mark.parametrize("seconds", [-0.01, 1.2, 10**6])
def test_moment_outside_the_clip_is_refused_with_its_length(archive: Archive, clip: Clip, seconds: float):
    with pytest.raises(Misused, match=f"V1.mp4 is {clip.duration_s:.1f} s long"):
        take_frame(archive, clip, seconds)


def test_first_moment_is_within_the_clip(archive: Archive, clip: Clip):
    assert take_frame(archive, clip, 0.0).clip_seconds == 0.0


def test_undo_takes_the_frame_away_after_the_words_about_it(archive: Archive, clip: Clip):
    picture = take_frame(archive, clip, 0.7)
    pin_tag(archive, add_tag(archive, "17", TagWords()), "A", picture, Box(0.5, 0.5))

    assert undo(archive, 3)[-1] == "frame at 0.7 s of V1.mp4 taken"

    with pytest.raises(NotFound):
        resolve.get_picture(archive, "V1.mp4@0.70s")


@pytest.mark.parametrize(("seconds", "name"), [(0, "V.mp4@0.00s"), (12.345, "V.mp4@12.35s"), (600.1, "V.mp4@600.10s")])
def test_frame_is_named_after_its_clip(seconds: float, name: str):
    assert frame_name("V.mp4", seconds) == name
