"""Jobs, dumps and cameras."""

from __future__ import annotations

import sqlite3
from collections import defaultdict
from datetime import datetime

from asfound.errors import NotFound
from asfound.model.capture import TimeSource
from asfound.model.pictures import Camera, ClockCorrection, Job
from asfound.store.database import Store

_CURRENT = "current job"


def add_job(store: Store, name: str, zone: str, at: datetime) -> Job:
    """Make a job and make it the one that later commands mean."""
    with store.transaction():
        cursor = store.run("INSERT INTO job(name, zone, created_at) VALUES (?, ?, ?)", name, zone, at.isoformat())
        job_id = int(cursor.lastrowid or 0)
        use_job(store, job_id)
    return get_job(store, job_id)


def use_job(store: Store, job_id: int) -> None:
    """Make `job_id` the job that commands mean when none is named."""
    get_job(store, job_id)
    store.run("INSERT OR REPLACE INTO setting(name, value) VALUES (?, ?)", _CURRENT, str(job_id))


def current_job(store: Store) -> Job:
    """The job that commands mean when none is named.

    Raises
    ------
    NotFound
        If the archive holds no job yet.
    """
    value = store.value("SELECT value FROM setting WHERE name = ?", _CURRENT)
    if value is None:
        raise NotFound('There is no job yet. Start one with: asfound job new "name of the machine"')
    row = store.row("SELECT * FROM job WHERE job_id = ?", int(value))
    # The one that was meant may have been taken back; then it is the latest there is.
    row = row or store.row("SELECT * FROM job ORDER BY job_id DESC LIMIT 1")
    if row is None:
        raise NotFound('There is no job yet. Start one with: asfound job new "name of the machine"')
    return _job(row)


def get_job(store: Store, job_id: int) -> Job:
    """One job by its id; `NotFound` if there is none."""
    row = store.row("SELECT * FROM job WHERE job_id = ?", job_id)
    if row is None:
        raise NotFound(f"There is no job {job_id}. List them with: asfound job list")
    return _job(row)


def list_jobs(store: Store) -> list[Job]:
    """All jobs, oldest first."""
    return [_job(row) for row in store.rows("SELECT * FROM job ORDER BY job_id")]


def change_job(store: Store, job_id: int, **words: str) -> None:
    """Set name, zone, front_means, left_means or turning_means."""
    for column, value in words.items():
        if column not in {"name", "zone", "front_means", "left_means", "turning_means"}:
            raise ValueError(column)
        store.run(f"UPDATE job SET {column} = ? WHERE job_id = ?", value, job_id)


def start_dump(store: Store, job_id: int, sources: str, at: datetime) -> int:
    """Open a dump and return its id."""
    cursor = store.run(
        "INSERT INTO dump(job_id, started_at, sources) VALUES (?, ?, ?)", job_id, at.isoformat(), sources
    )
    return int(cursor.lastrowid or 0)


def finish_dump(store: Store, dump_id: int, at: datetime) -> None:
    """Write down that a dump ran to its end."""
    store.run("UPDATE dump SET finished_at = ? WHERE dump_id = ?", at.isoformat(), dump_id)


def save_camera(store: Store, job_id: int, name: str) -> int:
    """The id of the camera called `name` in a job, made if need be."""
    store.run("INSERT OR IGNORE INTO camera(job_id, name) VALUES (?, ?)", job_id, name)
    return int(store.value("SELECT camera_id FROM camera WHERE job_id = ? AND name = ?", job_id, name))


def drop_unused_cameras(store: Store, job_id: int) -> None:
    """Forget cameras that made nothing and of which nobody said anything."""
    store.run(
        "DELETE FROM camera WHERE job_id = ? AND camera_id NOT IN (SELECT camera_id FROM camera_word) "
        "AND camera_id NOT IN (SELECT camera_id FROM camera_same UNION SELECT same_as_id FROM camera_same) "
        "AND camera_id NOT IN (SELECT camera_id FROM picture WHERE camera_id IS NOT NULL) "
        "AND camera_id NOT IN (SELECT camera_id FROM clip WHERE camera_id IS NOT NULL)",
        job_id,
    )


def list_cameras(store: Store, job_id: int) -> list[Camera]:
    """Cameras of a job by name; one that is another by the person's word is named with that one."""
    rows = store.rows(
        "SELECT camera.*, same_as_id FROM camera LEFT JOIN camera_same USING (camera_id) "
        "WHERE job_id = ? ORDER BY name",
        job_id,
    )
    words = store.rows("SELECT * FROM camera_word ORDER BY camera_id, from_local")
    corrections: dict[int, list[ClockCorrection]] = defaultdict(list)
    for word in words:
        since = datetime.fromisoformat(word["from_local"]) if word["from_local"] else None
        corrections[word["camera_id"]].append(ClockCorrection(since, word["clock_correction_s"]))
    also: dict[int, list[str]] = defaultdict(list)
    for row in rows:
        also[row["same_as_id"] or 0].append(row["name"])
    return [
        Camera(
            row["camera_id"], job_id, row["name"], tuple(corrections[row["camera_id"]]), tuple(also[row["camera_id"]])
        )
        for row in rows
        if row["same_as_id"] is None
    ]


def join_cameras(store: Store, camera_id: int, other_id: int) -> None:
    """Say that `other_id`, with all that it was said to be, is `camera_id`."""
    store.run("UPDATE camera_same SET same_as_id = ? WHERE same_as_id = ?", camera_id, other_id)
    store.run("INSERT INTO camera_same(camera_id, same_as_id) VALUES (?, ?)", other_id, camera_id)


def split_camera(store: Store, camera_id: int, name: str) -> bool:
    """Say that the one called `name` is not `camera_id` after all; whether it was said to be."""
    done = store.run(
        "DELETE FROM camera_same WHERE same_as_id = ? AND camera_id IN (SELECT camera_id FROM camera WHERE name = ?)",
        *(camera_id, name),
    )
    return done.rowcount > 0


def cameras_telling_offset(store: Store, job_id: int) -> set[int]:
    """Cameras with a photo that says its offset from UTC, or a clip that counts in UTC."""
    rows = store.rows(
        "SELECT taken_by FROM picture_time WHERE job_id = ? AND offset_minutes IS NOT NULL AND NOT offset_from_zone "
        "UNION SELECT taken_by FROM clip_time WHERE job_id = ? AND time_source IN (?, ?)",
        *(job_id, job_id, TimeSource.CLIP_KEY, TimeSource.CLIP_HEADER),
    )
    return {row[0] for row in rows if row[0] is not None}


def count_taken(store: Store, job_id: int) -> dict[int, tuple[int, int]]:
    """Camera to how many photos and clips it took."""
    counts: dict[int, list[int]] = defaultdict(lambda: [0, 0])
    for at, table, only in ((0, "picture_time", "AND kind = 'photo'"), (1, "clip_time", "")):
        for row in store.rows(
            f"SELECT taken_by, COUNT(*) FROM {table} WHERE job_id = ? {only} GROUP BY taken_by", job_id
        ):
            counts[row[0] or 0][at] = row[1]
    return {camera_id: (photos, clips) for camera_id, (photos, clips) in counts.items()}


def correct_clock(store: Store, camera_id: int, seconds: float, since: datetime | None) -> None:
    """Set how many seconds to add to a camera's written times, from a local time on or always."""
    key = "" if since is None else since.isoformat()
    store.run(
        "INSERT INTO camera_word(camera_id, from_local, clock_correction_s) VALUES (?, ?, ?) "
        "ON CONFLICT DO UPDATE SET clock_correction_s = excluded.clock_correction_s",
        camera_id,
        key,
        seconds,
    )


def drop_correction(store: Store, camera_id: int, since: datetime | None) -> None:
    """Forget a camera's correction that holds from a local time on, or the one that always does."""
    key = "" if since is None else since.isoformat()
    store.run("DELETE FROM camera_word WHERE camera_id = ? AND from_local = ?", camera_id, key)


def last_dump_at(store: Store, job_id: int) -> datetime | None:
    """When the latest dump of a job was begun."""
    value = store.value("SELECT MAX(started_at) FROM dump WHERE job_id = ?", job_id)
    return None if value is None else datetime.fromisoformat(value)


def last_work(store: Store) -> tuple[int, int]:
    """Numbers of the latest step and the latest dump; 0 where there is none."""
    row = store.row("SELECT (SELECT MAX(step_id) FROM step), (SELECT MAX(dump_id) FROM dump)")
    return (0, 0) if row is None else (row[0] or 0, row[1] or 0)


def work_after(store: Store, step_id: int, dump_id: int) -> tuple[datetime | None, int]:
    """When the first work after a step and a dump was done, None where there is none, and on how many days."""
    row = store.row(
        "SELECT MIN(at), COUNT(DISTINCT substr(at, 1, 10)) FROM (SELECT at FROM step WHERE step_id > ? "
        "UNION ALL SELECT started_at FROM dump WHERE dump_id > ?)",
        *(step_id, dump_id),
    )
    return (None, 0) if row is None or row[0] is None else (datetime.fromisoformat(row[0]), int(row[1]))


def accept_time(store: Store, picture_id: int) -> None:
    """Write down a person's word that a doubtful time is right."""
    store.run("INSERT OR IGNORE INTO time_word(picture_id, word) VALUES (?, 'right')", picture_id)


def accepted_times(store: Store, job_id: int) -> set[int]:
    """Pictures whose doubtful time a person called right."""
    rows = store.rows("SELECT picture_id FROM time_word JOIN picture USING (picture_id) WHERE job_id = ?", job_id)
    return {row[0] for row in rows}


def beginnings(store: Store) -> set[str]:
    """When each job was begun, to the second: two archives hardly share one."""
    return {str(row["created_at"]) for row in store.rows("SELECT created_at FROM job")}


def get_setting(store: Store, name: str) -> str | None:
    """A setting's value, None when it was never set."""
    value = store.value("SELECT value FROM setting WHERE name = ?", name)
    return None if value is None else str(value)


def save_setting(store: Store, name: str, value: str) -> None:
    """Set a setting."""
    store.run("INSERT OR REPLACE INTO setting(name, value) VALUES (?, ?)", name, value)


def _job(row: sqlite3.Row) -> Job:
    return Job(
        job_id=row["job_id"],
        name=row["name"],
        zone=row["zone"],
        front_means=row["front_means"],
        left_means=row["left_means"],
        created_at=datetime.fromisoformat(row["created_at"]),
        turning_means=row["turning_means"],
    )
