"""Clips without make and model come to the camera whose photos they lie among, and their frames to its lens."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions import clock
from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.model.pictures import Picture
from asfound.store import jobs, pictures
from tests.media import samples


@pytest.fixture
def archive(tmp_path: Path):
    with open_archive(tmp_path / "archive", create=True) as opened:
        jobs.add_job(opened.store, "Sallow", "Europe/Amsterdam", opened.now())
        yield opened


@pytest.fixture
def card(tmp_path: Path) -> Path:
    folder = tmp_path / "card"
    folder.mkdir()
    for number in (1, 3):
        exif = samples.exif_bytes(time=f"2025:10:18 09:0{number}:00", make="Pocket", model="P1", focal_35mm=26)
        (folder / f"P1_000{number}.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, number), exif=exif))
    samples.write_clip(folder / "P1_0002.mov", seconds=2)
    return folder


def frames(archive: Archive) -> list[Picture]:
    found = [p for p in pictures.list_pictures(archive.store, archive.job.job_id) if p.kind == "frame"]
    assert found
    return found


def camera_names(archive: Archive) -> list[str]:
    return [camera.name for camera in clock.list_cameras(archive)]


def test_clip_among_a_cameras_photos_is_given_to_it(archive: Archive, card: Path):
    report = add_dump(archive, [card], workers=0)

    assert camera_names(archive) == ["Pocket P1"]
    assert report.cameras == {"Pocket P1": 3}
    (camera,) = clock.list_cameras(archive)
    assert {frame.camera_id for frame in frames(archive)} == {camera.camera_id}
    assert {frame.focal_35mm for frame in frames(archive)} == {26.0}


def test_clock_of_the_camera_puts_its_clips_right_too(archive: Archive, card: Path):
    add_dump(archive, [card], workers=0)
    before = [frame.taken_utc_s for frame in frames(archive)]

    clock.correct_by_offset(archive, clock.get_camera(archive, "P1"), -240.0)

    assert [frame.taken_utc_s for frame in frames(archive)] == [at - 240 for at in before if at is not None]


def test_photos_that_come_later_claim_the_clip_when_the_card_is_added_again(archive: Archive, card: Path):
    add_dump(archive, [card / "P1_0002.mov"], workers=0)
    assert camera_names(archive) == ["P1"]

    add_dump(archive, [card], workers=0)

    assert camera_names(archive) == ["Pocket P1"]
    assert {frame.focal_35mm for frame in frames(archive)} == {26.0}


def test_clip_whose_clock_a_person_corrected_stays_where_it_is(archive: Archive, card: Path):
    add_dump(archive, [card / "P1_0002.mov"], workers=0)
    clock.correct_by_offset(archive, clock.get_camera(archive, "P1"), 60.0)

    add_dump(archive, [card], workers=0)

    assert camera_names(archive) == ["P1", "Pocket P1"]


def test_clip_between_two_cameras_of_one_series_stays_by_itself(archive: Archive, card: Path):
    exif = samples.exif_bytes(time="2025:10:18 09:05:00", make="Other", model="P1")
    (card / "P1_0004.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, 9), exif=exif))

    add_dump(archive, [card], workers=0)

    assert camera_names(archive) == ["Other P1", "P1", "Pocket P1"]
