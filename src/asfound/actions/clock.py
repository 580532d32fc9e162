"""Put a camera's clock right. The stored time never changes; the corrected one is worked out from it."""

from __future__ import annotations

import re
from datetime import datetime
from zoneinfo import ZoneInfo

from asfound.actions.archive import Archive
from asfound.core.capture import clock_changes
from asfound.errors import Ambiguous, Misused, NotFound
from asfound.model.pictures import Camera, Picture
from asfound.store import jobs
from asfound.store.pictures import list_pictures

_PART = re.compile(r"(\d+(?:\.\d+)?)\s*(d|h|m|s)", re.IGNORECASE)
LONGEST_S = 100 * 366 * 86400.0
_SECONDS = {"d": 86400.0, "h": 3600.0, "m": 60.0, "s": 1.0}


def list_cameras(archive: Archive) -> list[Camera]:
    """Cameras by name, with their corrections."""
    return jobs.list_cameras(archive.store, archive.job.job_id)


def get_camera(archive: Archive, words: str) -> Camera:
    """The camera of which a name is, or else holds, the words; case does not matter."""
    cameras = list_cameras(archive)
    wanted = words.casefold()
    names = {camera.camera_id: [name.casefold() for name in (camera.name, *camera.also)] for camera in cameras}
    exact = [c for c in cameras if wanted in names[c.camera_id] or str(c.camera_id) == words]
    found = exact or [c for c in cameras if any(wanted in name for name in names[c.camera_id])]
    if len(found) == 1:
        return found[0]
    known = ", ".join(camera.name for camera in cameras) or "none yet"
    if found:
        raise Ambiguous(f'"{words}" fits more than one camera; say one of: {known}.')
    raise NotFound(f'There is no camera "{words}". Known: {known}.')


def parse_seconds(words: str) -> float:
    """Seconds from words such as "+4m", "-1h4m", "90s"; a bare number is seconds.

    Raises
    ------
    Misused
        If the words are no length of time.
    """
    text = words.strip()
    sign = -1.0 if text.startswith("-") else 1.0
    body = text.lstrip("+-").strip()
    if re.fullmatch(r"\d+(\.\d+)?", body):
        return sign * _check_length(words, float(body))
    parts = _PART.findall(body)
    if not parts or _PART.sub("", body).strip():
        raise Misused(f'"{words}" is not a length of time; write it like +4m, -1h4m or 90s.')
    return sign * _check_length(words, sum(float(number) * _SECONDS[unit.lower()] for number, unit in parts))


def _check_length(words: str, seconds: float) -> float:
    """A clock reset to its factory date is decades off; more than a century is a slip of the finger."""
    if seconds > LONGEST_S:
        raise Misused(f'"{words}" is more than a hundred years; write it like +4m, -1h4m or 90s.')
    return seconds


def correct_by_offset(archive: Archive, camera: Camera, seconds: float, since: datetime | None = None) -> Camera:
    """Say how many seconds to add to the camera's times, always or from a local time on.

    0 takes the correction away that always holds; from a local time on it says that the clock is right since.
    """
    if seconds == 0 and since is None:
        with archive.step(f"clock of {camera.name} not corrected"):
            jobs.drop_correction(archive.store, camera.camera_id, None)
        return get_camera(archive, str(camera.camera_id))
    return _correct(archive, camera, seconds, since)


def _correct(archive: Archive, camera: Camera, seconds: float, since: datetime | None) -> Camera:
    with archive.step(f"clock of {camera.name} corrected"):
        jobs.correct_clock(archive.store, camera.camera_id, seconds, since)
    return get_camera(archive, str(camera.camera_id))


def correct_by_true_time(
    archive: Archive, camera: Camera, picture: Picture, true_time: datetime, since: datetime | None = None
) -> Camera:
    """Correct by one picture whose true time is known; a time without offset is read in the job's zone.

    Raises
    ------
    Misused
        If the picture is of another camera, or the zone's clocks showed the time twice or never.
    """
    _check_camera(camera, picture)
    true_time = clock_changes.place_typed(true_time, ZoneInfo(archive.job.zone))
    true_s = true_time.timestamp()
    return _correct(archive, camera, true_s - _written_s(archive, picture, camera, true_s), since)


def correct_by_same_moment(
    archive: Archive, camera: Camera, picture: Picture, other: Picture, since: datetime | None = None
) -> Camera:
    """Correct by two pictures of one moment, of which `other` has the right time."""
    _check_camera(camera, picture)
    if other.camera_id == camera.camera_id:
        raise Misused(f"{other.file} was taken with {camera.name} too; name a picture of another camera.")
    if other.taken_utc_s is None:
        raise Misused(f"{other.file} has no sure time itself; name another picture.")
    true_s = other.taken_utc_s
    return _correct(archive, camera, true_s - _written_s(archive, picture, camera, true_s), since)


def count_out_of_order(archive: Archive, camera: Camera) -> int:
    """Neighbours among the photos that stood the other way round in time before this camera's clock was corrected."""
    photos = [p for p in list_pictures(archive.store, archive.job.job_id) if p.kind == "photo"]
    corrected = {photo.picture_id: photo.taken_utc_s for photo in photos if photo.taken_utc_s is not None}
    written = {
        photo.picture_id: corrected[photo.picture_id]
        - (camera.correction_s(photo.taken_local) if photo.camera_id == camera.camera_id else 0.0)
        for photo in photos
        if photo.picture_id in corrected
    }
    return clock_changes.count_out_of_order(written, corrected)


def _written_s(archive: Archive, picture: Picture, camera: Camera, true_s: float) -> float:
    """The moment that the camera wrote, uncorrected, as Unix seconds; `true_s` is when it was in truth."""
    if picture.taken_local is None:
        raise Misused(f"{picture.file} has no time to correct; name another picture.")
    if picture.taken_utc_s is None:
        # An hour that the clock change repeats has two readings: a clock that is right wrote the one that is true.
        zone = ZoneInfo(archive.job.zone)
        readings = [picture.taken_local.replace(tzinfo=zone, fold=fold).timestamp() for fold in (0, 1)]
        return min(readings, key=lambda written_s: abs(true_s - written_s))
    return picture.taken_utc_s - camera.correction_s(picture.taken_local)


def _check_camera(camera: Camera, picture: Picture) -> None:
    if picture.camera_id != camera.camera_id:
        raise Misused(f"{picture.file} was not taken with {camera.name}; name a picture of that camera.")
