"""A picture without a time stands in its spot where the files beside it on the card tell."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from asfound.model.capture import Taken, TimeSource
from asfound.store import jobs, spots
from asfound.store.database import Store
from asfound.store.pictures import NewPicture, list_pictures, save_picture

NOW = datetime(2025, 10, 18, 9, 42, tzinfo=UTC)


def test_pictures_of_a_spot_and_spots_stand_in_the_likely_order(tmp_path: Path):
    with Store(tmp_path / "asfound.sqlite") as store:
        job = jobs.add_job(store, "Sallow", "Europe/Amsterdam", NOW)
        dump, camera = jobs.start_dump(store, job.job_id, "card", NOW), jobs.save_camera(store, job.job_id, "P1")
        saved = {}
        for number, hour in ((4, 12), (2, None), (3, 11), (1, 10)):
            taken = None if hour is None else Taken(datetime(2025, 10, 18, hour), 120, TimeSource.EXIF_ORIGINAL)
            new = NewPicture(job.job_id, dump, "photo", f"P1_000{number}.jpg", None, camera, taken, 400, 300)
            saved[number] = save_picture(store, new)
        late, early = spots.new_spot(store, job.job_id), spots.new_spot(store, job.job_id)
        member = {saved[4]: late, saved[3]: early, saved[2]: early, saved[1]: early}
        spots.save_membership(store, job.job_id, member, {})

        listed = [picture.picture_id for picture in list_pictures(store, job.job_id)]
        assert listed == [saved[number] for number in (1, 2, 3, 4)]
        assert [spot.spot_id for spot in spots.list_spots(store, job.job_id)] == [early, late]
        assert spots.get_spot(store, early).picture_ids == tuple(saved[number] for number in (1, 2, 3))
