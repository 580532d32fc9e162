"""A job with four pictures in two spots, for tests over a real archive that need no files."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.tag import TagWords, add_tag
from asfound.model.capture import Taken, TimeSource
from asfound.store import jobs, pictures, spots
from tests.built_once import copy_of

NOON = datetime(2025, 10, 18, 12, 0, tzinfo=UTC)


def four_pictures(tmp_path: Path) -> Iterator[Archive]:
    """A job with four pictures in two spots, and tags of which two are numbered 12."""
    with open_archive(copy_of(_make, tmp_path / "archive"), now=lambda: NOON) as archive:
        yield archive


def _make(folder: Path) -> None:
    with open_archive(folder, create=True, now=lambda: NOON) as archive:
        job = new_job(archive, "Sallow", zone="Europe/Amsterdam")
        with archive.store.transaction():
            dump = jobs.start_dump(archive.store, job.job_id, "a card", NOON)
            camera = jobs.save_camera(archive.store, job.job_id, "Pocket P1")
            for number in range(1, 5):
                digest = sha256(str(number).encode()).hexdigest()
                pictures.save_original(
                    archive.store, digest=digest, suffix=".jpg", size_bytes=4, kind="photo", stored_at=NOON
                )
                new = pictures.NewPicture(
                    job_id=job.job_id,
                    dump_id=dump,
                    kind="photo",
                    file=f"P1_{number:04d}.jpg",
                    digest=digest,
                    camera_id=camera,
                    taken=Taken((NOON + timedelta(minutes=number)).replace(tzinfo=None), 120, TimeSource.EXIF_ORIGINAL),
                    width_px=400,
                    height_px=300,
                    phash=number,
                    sharpness=100.0,
                )
                pictures.save_picture(archive.store, new)
            for place in (0, 1):
                spot_id = spots.new_spot(archive.store, job.job_id)
                for picture_id in (2 * place + 1, 2 * place + 2):
                    spots.place_picture(archive.store, picture_id, spot_id)
        for number, kind, name in (
            ("12", "wire", "oil alarm switch wire"),
            ("12", "hose", "gear oil cooler hose"),
            ("17", "hose", "raw water hose"),
            ("112", "hose", "fuel return hose"),
        ):
            add_tag(archive, number, TagWords(kind=kind, name=name, size="1 mm2"))
