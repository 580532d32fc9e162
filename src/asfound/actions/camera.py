"""Say that two cameras are one: a clip that names no camera, a phone that was given another name."""

from __future__ import annotations

from asfound.actions.archive import Archive
from asfound.actions.clock import get_camera
from asfound.errors import Misused, NotFound
from asfound.model.pictures import Camera
from asfound.store import jobs


def join_cameras(archive: Archive, camera: Camera, other: Camera) -> Camera:
    """Say that `other` is `camera`: its pictures and clips, also those still to come, are of that one.

    The clock corrections of `camera` hold for all of them; when it has none those of `other` do.

    Raises
    ------
    Misused
        If they are one already.
    """
    if camera.camera_id == other.camera_id:
        raise Misused(f"{camera.name} is one camera already; name another one. List them with: asfound camera")
    with archive.step(f"{other.name} is {camera.name}"):
        if not camera.corrections:
            for correction in other.corrections:
                jobs.correct_clock(archive.store, camera.camera_id, correction.seconds, correction.since)
        jobs.join_cameras(archive.store, camera.camera_id, other.camera_id)
    return get_camera(archive, str(camera.camera_id))


def split_camera(archive: Archive, name: str) -> Camera:
    """Say that the camera once joined under this name is one of its own after all; its old corrections count again.

    Raises
    ------
    NotFound
        If no camera was joined under that name.
    """
    for camera in jobs.list_cameras(archive.store, archive.job.job_id):
        joined = next((known for known in camera.also if known.casefold() == name.casefold()), None)
        if joined is not None:
            with archive.step(f"{joined} is not {camera.name}"):
                jobs.split_camera(archive.store, camera.camera_id, joined)
            return get_camera(archive, joined)
    raise NotFound(f'No camera was joined under the name "{name}". List them with: asfound camera')


def count_taken(archive: Archive) -> dict[int, tuple[int, int]]:
    """Camera to how many photos and clips it took."""
    return jobs.count_taken(archive.store, archive.job.job_id)
