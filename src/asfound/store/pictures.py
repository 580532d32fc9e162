"""Originals, photos, clips and frames, with the times their cameras wrote."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from typing import Any
from zoneinfo import ZoneInfo

from asfound.core.capture.likely_order import in_likely_order
from asfound.errors import NotFound
from asfound.model.capture import OF_WRONG_CLOCK, Taken, TimeDoubt, TimeSource
from asfound.model.pictures import Clip, Picture
from asfound.store.database import Store
from asfound.store.jobs import accepted_times

LEAST_WRONG_S = 86_400.0
"""A clock that shows an impossible time is wrong by a day at the least; so much of a correction puts it right."""

NO_DOCUMENT = "picture_id NOT IN (SELECT picture_id FROM document WHERE picture_id IS NOT NULL)"

_TIME_NAMES = "taken_local, offset_minutes, offset_from_zone, time_source, time_doubt, written_utc_s"


@dataclass(frozen=True, slots=True)
class NewPicture:
    """A photo or a frame about to be written down; see `model.pictures.Picture` for the fields."""

    job_id: int
    dump_id: int
    kind: str
    file: str
    digest: str | None
    camera_id: int | None
    taken: Taken | None
    width_px: int
    height_px: int
    orientation: int = 1
    focal_35mm: float | None = None
    phash: int | None = None
    sharpness: float | None = None
    clip_id: int | None = None
    clip_seconds: float | None = None
    trouble: str | None = None


@dataclass(frozen=True, slots=True)
class NewClip:
    """A clip about to be written down; see `model.pictures.Clip` for the fields."""

    job_id: int
    dump_id: int
    file: str
    digest: str
    camera_id: int | None
    taken: Taken | None
    duration_s: float
    width_px: int
    height_px: int
    rotation_deg: int
    trouble: str | None = None


def save_original(store: Store, *, digest: str, suffix: str, size_bytes: int, kind: str, stored_at: datetime) -> None:
    """Write down an original that lies in the archive already; a second time changes nothing."""
    store.run(
        "INSERT OR IGNORE INTO original(digest, suffix, bytes, kind, stored_at) VALUES (?, ?, ?, ?, ?)",
        digest,
        suffix,
        size_bytes,
        kind,
        stored_at.isoformat(),
    )


def save_arrival(store: Store, *, dump_id: int, digest: str, name: str, raw_name: bytes, modified_ns: int) -> None:
    """Write down under which name, in which dump, an original was met."""
    store.run(
        "INSERT INTO arrival(dump_id, digest, name, raw_name, modified_ns) VALUES (?, ?, ?, ?, ?)",
        dump_id,
        digest,
        name,
        raw_name,
        modified_ns,
    )


def suffix_of_original(store: Store, digest: str) -> str | None:
    """The suffix under which an original is stored, None when the archive does not know the digest."""
    value = store.value("SELECT suffix FROM original WHERE digest = ?", digest)
    return None if value is None else str(value)


def list_unread(store: Store, job_id: int) -> list[str]:
    """Names of files that are kept though neither a picture nor a clip could be made of them."""
    rows = store.rows(
        "SELECT DISTINCT arrival.name FROM arrival JOIN dump USING (dump_id) WHERE dump.job_id = ? "
        "AND digest NOT IN (SELECT digest FROM picture WHERE digest IS NOT NULL) "
        "AND digest NOT IN (SELECT digest FROM clip) ORDER BY arrival.name",
        job_id,
    )
    return [row[0] for row in rows]


def list_originals(store: Store) -> list[tuple[str, str, int]]:
    """(digest, suffix, bytes) of every original written down, in order of digest."""
    return [tuple(row) for row in store.rows("SELECT digest, suffix, bytes FROM original ORDER BY digest")]


def save_picture(store: Store, new: NewPicture) -> int:
    """Write down a photo or frame and return its id."""
    columns = (
        f"job_id, dump_id, kind, file, digest, camera_id, clip_id, clip_seconds, {_TIME_NAMES}, width_px, height_px, "
        "orientation, focal_35mm, phash, sharpness, trouble"
    )
    values = (
        *(new.job_id, new.dump_id, new.kind, new.file, new.digest, new.camera_id, new.clip_id, new.clip_seconds),
        *_time_values(new.taken),
        *(new.width_px, new.height_px, new.orientation, new.focal_35mm, new.phash, new.sharpness, new.trouble),
    )
    return _insert(store, "picture", columns, values)


def save_clip(store: Store, new: NewClip) -> int:
    """Write down a clip and return its id."""
    columns = (
        f"job_id, dump_id, file, digest, camera_id, {_TIME_NAMES}, "
        "duration_s, width_px, height_px, rotation_deg, trouble"
    )
    values = (
        *(new.job_id, new.dump_id, new.file, new.digest, new.camera_id),
        *_time_values(new.taken),
        *(new.duration_s, new.width_px, new.height_px, new.rotation_deg, new.trouble),
    )
    return _insert(store, "clip", columns, values)


def get_picture(store: Store, picture_id: int) -> Picture:
    """One picture by its id; `NotFound` if there is none."""
    row = store.row("SELECT * FROM picture_time WHERE picture_id = ?", picture_id)
    if row is None:
        raise NotFound(f"There is no picture {picture_id}. List them with: asfound pictures")
    return _picture(row)


def list_pictures(store: Store, job_id: int) -> list[Picture]:
    """Pictures of a job's machine in the order in which they were most likely taken; see `core.capture.likely_order`.

    Those that were said to be documents are left out.
    """
    rows = store.rows(
        "SELECT * FROM picture_time WHERE job_id = ? "
        f"AND {NO_DOCUMENT} ORDER BY taken_utc_s IS NULL, taken_utc_s, taken_local, picture_id",
        job_id,
    )
    zone = ZoneInfo(store.value("SELECT zone FROM job WHERE job_id = ?", job_id))
    return in_likely_order(map(_picture, rows), zone, accepted_times(store, job_id))


def find_pictures_by_file(store: Store, job_id: int, file: str) -> list[Picture]:
    """Pictures whose original had this name in any dump, oldest id first."""
    rows = store.rows(
        "SELECT * FROM picture_time WHERE job_id = ? AND (file = ? OR digest IN "
        "(SELECT digest FROM arrival WHERE name = ?)) ORDER BY picture_id",
        job_id,
        file,
        file,
    )
    return [_picture(row) for row in rows]


def find_pictures_named(store: Store, job_id: int, name: str) -> list[Picture]:
    """Pictures whose file's name begins so, ASCII letters in any case, oldest id first."""
    rows = store.rows(
        "SELECT * FROM picture_time WHERE job_id = ? AND LOWER(SUBSTR(file, 1, ?)) = LOWER(?) ORDER BY picture_id",
        job_id,
        len(name),
        name,
    )
    return [_picture(row) for row in rows]


def find_picture_by_digest(store: Store, job_id: int, digest: str) -> Picture | None:
    """The photo with these bytes, if the job has it."""
    row = store.row("SELECT * FROM picture_time WHERE job_id = ? AND digest = ?", job_id, digest)
    return None if row is None else _picture(row)


def find_clip_by_digest(store: Store, job_id: int, digest: str) -> Clip | None:
    """The clip with these bytes, if the job has it."""
    row = store.row("SELECT * FROM clip_time WHERE job_id = ? AND digest = ?", job_id, digest)
    return None if row is None else _clip(row)


def get_clip(store: Store, clip_id: int) -> Clip:
    """One clip by its id; `NotFound` if there is none."""
    row = store.row("SELECT * FROM clip_time WHERE clip_id = ?", clip_id)
    if row is None:
        raise NotFound(f"There is no clip {clip_id}. List them with: asfound pictures --clips")
    return _clip(row)


def list_clips(store: Store, job_id: int) -> list[Clip]:
    """All clips of a job in order of time."""
    rows = store.rows("SELECT * FROM clip_time WHERE job_id = ? ORDER BY taken_utc_s IS NULL, taken_utc_s", job_id)
    return [_clip(row) for row in rows]


def find_frames(store: Store, clip_id: int) -> list[Picture]:
    """The frames taken out of a clip, in order of offset."""
    rows = store.rows("SELECT * FROM picture_time WHERE clip_id = ? ORDER BY clip_seconds", clip_id)
    return [_picture(row) for row in rows]


def give_clip_to_camera(store: Store, clip_id: int, camera_id: int) -> None:
    """Say which camera made a clip and the frames out of it."""
    for table in ("clip", "picture"):
        store.run(f"UPDATE {table} SET camera_id = ? WHERE clip_id = ?", camera_id, clip_id)


def lend_focal_length(store: Store, camera_id: int, focal_35mm: float) -> None:
    """Write down a focal length for the frames of a camera's clips that have none."""
    store.run(
        "UPDATE picture SET focal_35mm = ? WHERE camera_id = ? AND kind = 'frame' AND focal_35mm IS NULL",
        focal_35mm,
        camera_id,
    )


def _insert(store: Store, table: str, columns: str, values: tuple[Any, ...]) -> int:
    marks = ", ".join("?" * len(values))
    cursor = store.run(f"INSERT INTO {table}({columns}) VALUES ({marks})", *values)
    return int(cursor.lastrowid or 0)


def _time_values(taken: Taken | None) -> tuple[Any, ...]:
    if taken is None:
        return (None, None, 0, TimeSource.UNKNOWN, None, None)
    utc_s = None
    if taken.offset_minutes is not None:
        utc_s = (taken.local.replace(tzinfo=UTC) - timedelta(minutes=taken.offset_minutes)).timestamp()
    local = taken.local.isoformat()
    return (local, taken.offset_minutes, int(taken.offset_from_zone), taken.source, taken.doubt, utc_s)


def _times(row: sqlite3.Row) -> dict[str, Any]:
    local = None if row["taken_local"] is None else datetime.fromisoformat(row["taken_local"])
    at = None
    if local is not None:
        at = local + timedelta(seconds=row["clock_correction_s"])
        if row["offset_minutes"] is not None:
            at = at.replace(tzinfo=timezone(timedelta(minutes=row["offset_minutes"])))
    doubt = None if row["time_doubt"] is None else TimeDoubt(row["time_doubt"])
    if doubt in OF_WRONG_CLOCK and abs(row["clock_correction_s"]) >= LEAST_WRONG_S:
        doubt = None
    return {
        "taken_local": local,
        "offset_minutes": row["offset_minutes"],
        "taken_at": at,
        "taken_utc_s": row["taken_utc_s"],
        "time_source": TimeSource(row["time_source"]),
        "time_doubt": doubt,
    }


def _picture(row: sqlite3.Row) -> Picture:
    kept = _MADE.get(key := tuple(row))
    if kept is None:
        if len(_MADE) >= _MOST_MADE:
            _MADE.clear()
        kept = _MADE[key] = _make_picture(row)
    return kept


_MADE: dict[tuple[Any, ...], Picture] = {}
"""Every column of a row of `picture_time` to its picture: making one takes five times as long as finding it here."""
_MOST_MADE = 20_000


def _make_picture(row: sqlite3.Row) -> Picture:
    return Picture(
        picture_id=row["picture_id"],
        job_id=row["job_id"],
        kind=row["kind"],
        file=row["file"],
        digest=row["digest"],
        camera_id=row["taken_by"],
        width_px=row["width_px"],
        height_px=row["height_px"],
        orientation=row["orientation"],
        focal_35mm=row["focal_35mm"],
        clip_id=row["clip_id"],
        clip_seconds=row["clip_seconds"],
        phash=row["phash"],
        sharpness=row["sharpness"],
        dump_id=row["dump_id"],
        trouble=row["trouble"],
        **_times(row),
    )


def _clip(row: sqlite3.Row) -> Clip:
    return Clip(
        clip_id=row["clip_id"],
        job_id=row["job_id"],
        file=row["file"],
        digest=row["digest"],
        camera_id=row["taken_by"],
        duration_s=row["duration_s"],
        width_px=row["width_px"],
        height_px=row["height_px"],
        rotation_deg=row["rotation_deg"],
        dump_id=row["dump_id"],
        trouble=row["trouble"],
        **_times(row),
    )
