"""Take one more frame out of a clip by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from asfound.actions.archive import Archive
from asfound.actions.views import clip_path
from asfound.core.capture.fingerprint import compute_fingerprint
from asfound.core.capture.sharpness import measure_sharpness
from asfound.errors import Misused
from asfound.media.clips import frame_at
from asfound.media.thumbnails import to_gray
from asfound.model.capture import Taken
from asfound.model.pictures import Clip, Picture
from asfound.store.frames import let_undo_drop
from asfound.store.pictures import NewPicture, find_frames, get_picture, save_picture


def frame_name(file: str, seconds: float) -> str:
    """The name of a frame: its clip's with the offset, to the hundredth of a second."""
    return f"{file}@{seconds:.2f}s"


def take_frame(archive: Archive, clip: Clip, seconds: float) -> Picture:
    """Make a picture of the frame at an offset into a clip, as one step; one taken there before is given back.

    Raises
    ------
    Misused
        If the offset lies outside the clip.
    """
    seconds = round(seconds, 3)
    if not 0 <= seconds <= clip.duration_s:
        raise Misused(f"{clip.file} is {clip.duration_s:.1f} s long; {seconds} lies outside it.")
    for present in find_frames(archive.store, clip.clip_id):
        if present.clip_seconds == seconds:
            return present
    image = frame_at(clip_path(archive, clip), seconds)
    gray = to_gray(image)
    with archive.step(f"frame at {seconds:g} s of {clip.file} taken"):
        picture_id = save_picture(
            archive.store,
            NewPicture(
                job_id=clip.job_id,
                dump_id=clip.dump_id,
                kind="frame",
                file=frame_name(clip.file, seconds),
                digest=None,
                camera_id=clip.camera_id,
                taken=_taken_at(clip, seconds),
                width_px=image.shape[1],
                height_px=image.shape[0],
                phash=compute_fingerprint(gray),
                sharpness=measure_sharpness(gray),
                clip_id=clip.clip_id,
                clip_seconds=seconds,
            ),
        )
        let_undo_drop(archive.store, picture_id)
    return get_picture(archive.store, picture_id)


def _taken_at(clip: Clip, seconds: float) -> Taken | None:
    if clip.taken_local is None:
        return None
    start = Taken(clip.taken_local, clip.offset_minutes, clip.time_source, clip.time_doubt)
    return replace(start, local=start.local + timedelta(seconds=seconds))
