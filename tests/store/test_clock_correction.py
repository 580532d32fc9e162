"""The stored time never changes; the corrected one follows the camera's correction."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

from asfound.model.capture import Taken, TimeSource
from asfound.store import jobs
from asfound.store.database import Store
from asfound.store.pictures import NewPicture, get_picture, list_pictures, save_picture

NOW = datetime(2025, 10, 18, 9, 42, tzinfo=UTC)


def add(store: Store, local: datetime, offset_minutes: int | None) -> int:
    camera_id = jobs.save_camera(store, 1, "K1")
    taken = Taken(local, offset_minutes, TimeSource.EXIF_ORIGINAL)
    return save_picture(store, NewPicture(1, 1, "photo", f"K1_{local:%d%H%M}.jpg", None, camera_id, taken, 400, 300))


def test_correction_holds_from_its_own_time_on(tmp_path: Path):
    """The pocket camera of the scenario is 4 minutes fast, and 64 once the clocks have gone back."""
    with Store(tmp_path / "a.sqlite") as store:
        jobs.add_job(store, "Sallow", "Europe/Amsterdam", NOW)
        jobs.start_dump(store, 1, "card", NOW)
        early = add(store, datetime(2025, 10, 11, 9, 48, 50), 120)
        late = add(store, datetime(2025, 11, 1, 9, 5), 60)

        jobs.correct_clock(store, 1, -240, None)
        jobs.correct_clock(store, 1, -3840, datetime(2025, 10, 26, 3, 0))

        first, second = get_picture(store, early), get_picture(store, late)
        assert first.taken_at is not None
        assert second.taken_at is not None
        assert first.taken_at.isoformat() == "2025-10-11T09:44:50+02:00"
        assert second.taken_at.isoformat() == "2025-11-01T08:01:00+01:00"
        assert first.taken_local == datetime(2025, 10, 11, 9, 48, 50)
        assert first.taken_utc_s == datetime(2025, 10, 11, 7, 44, 50, tzinfo=UTC).timestamp()


def test_pictures_are_listed_in_order_of_corrected_time(tmp_path: Path):
    with Store(tmp_path / "a.sqlite") as store:
        jobs.add_job(store, "Sallow", "Europe/Amsterdam", NOW)
        jobs.start_dump(store, 1, "card", NOW)
        fast = add(store, datetime(2025, 10, 11, 9, 30, 34), 120)
        right = save_picture(
            store,
            NewPicture(
                *(1, 1, "photo", "P1.jpg", None, jobs.save_camera(store, 1, "P1")),
                Taken(datetime(2025, 10, 11, 9, 28, 51), 120, TimeSource.EXIF_ORIGINAL),
                *(400, 300),
            ),
        )
        assert [p.picture_id for p in list_pictures(store, 1)] == [right, fast]

        jobs.correct_clock(store, 1, -timedelta(minutes=4).total_seconds(), None)

        assert [p.picture_id for p in list_pictures(store, 1)] == [fast, right]
