"""A small filled database for the store's tests: one job, three pictures in one spot, one tag with two ends."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from asfound.store import jobs, spots, tags
from asfound.store.database import Store
from asfound.store.migrations import PERSON_TABLES
from asfound.store.pictures import NewPicture, save_picture
from tests.built_once import copy_of

NOW = datetime(2025, 10, 18, 9, 42, tzinfo=UTC)
Rows = dict[str, list[tuple[object, ...]]]


@contextmanager
def filled_store(folder: Path) -> Iterator[Store]:
    """A copy of its own for one test."""
    with Store(copy_of(_make_filled, folder) / "asfound.sqlite") as opened:
        yield opened


def person_rows(store: Store) -> Rows:
    """Everything a person said, with the hidden rowid too: search speaks of a day's note by it."""
    return {table: sorted(map(tuple, store.rows(f"SELECT rowid, * FROM {table}")), key=repr) for table in PERSON_TABLES}


def _make_filled(folder: Path) -> None:
    with Store(folder / "asfound.sqlite") as store:
        _fill(store)


def _fill(store: Store) -> None:
    job = jobs.add_job(store, "Sallow", "Europe/Amsterdam", NOW)
    dump_id = jobs.start_dump(store, job.job_id, "card", NOW)
    spot_id = spots.new_spot(store, job.job_id)
    camera_id = jobs.save_camera(store, job.job_id, "P1")
    members = {}
    for number in range(3):
        picture = NewPicture(job.job_id, dump_id, "photo", f"P1_{number}.jpg", None, camera_id, None, 400, 300)
        members[save_picture(store, picture)] = spot_id
    spots.save_membership(store, job.job_id, members, {})
    tags.add_tag(store, job.job_id, "17", NOW, kind="hose", name="", ends=2)
