"""Look-alikes behind one picture, over a real archive: undone, answered again, and kept when more comes in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from asfound.actions import undo
from asfound.actions.archive import Archive, open_archive
from asfound.actions.bursts import behind, fold, let_stand, open_bursts
from asfound.model.capture import Taken, TimeSource
from asfound.store import jobs
from asfound.store.pictures import NewPicture, list_pictures, save_picture
from tests.sallow_archive import bench_with_job


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    bench_with_job(tmp_path / "a")
    with open_archive(tmp_path / "a") as opened:
        for at_s, sharp in ((0, 5.0), (2, 9.0), (4, 1.0)):
            add(opened, at_s, sharp)
        yield opened


def add(archive: Archive, at_s: float, sharp: float) -> None:
    store, job_id = archive.store, archive.job.job_id
    with store.transaction():
        dump_id = jobs.start_dump(store, job_id, "card", archive.now())
        camera_id = jobs.save_camera(store, job_id, "P1")
        taken = Taken(datetime(2025, 10, 18, 9) + timedelta(seconds=at_s), 120, TimeSource.EXIF_ORIGINAL, None, False)
        name = f"P{at_s}.jpg"
        save_picture(
            store,
            NewPicture(job_id, dump_id, "photo", name, None, camera_id, taken, 400, 300, phash=7, sharpness=sharp),
        )


def test_the_sharpest_is_in_front_and_undo_brings_the_question_back(archive: Archive) -> None:
    (burst,) = open_bursts(archive)
    assert burst == (2, 1, 3)
    fold(archive, 2, burst[1:])
    assert behind(archive) == {1: 2, 3: 2}
    assert open_bursts(archive) == []
    assert len(list_pictures(archive.store, archive.job.job_id)) == 3
    assert undo.undo(archive) == ["2 look-alikes put behind P2.jpg"]
    assert behind(archive) == {}
    assert open_bursts(archive) == [burst]


def test_a_sharper_one_that_comes_later_takes_all_behind_it(archive: Archive) -> None:
    fold(archive, 2, (1, 3))
    add(archive, 5, 20.0)
    assert open_bursts(archive) == [(4, 2)]
    fold(archive, 4, (2,))
    assert behind(archive) == {1: 4, 2: 4, 3: 4}


def test_those_left_apart_stay_apart_when_more_comes_in(archive: Archive) -> None:
    let_stand(archive, (1, 2, 3))
    assert behind(archive) == {}
    add(archive, 5, 0.5)
    assert open_bursts(archive) == [(2, 4)]
    fold(archive, 2, (4,))
    assert behind(archive) == {4: 2}
