"""Jobs, dumps, originals, pictures, clips and cameras as the store hands them out."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from asfound.model.capture import TimeDoubt, TimeSource


@dataclass(frozen=True, slots=True)
class Job:
    """One machine's teardown and refit.

    Attributes
    ----------
    zone : str
        IANA name of the time zone in which local times without an offset are read.
    front_means, left_means, turning_means : str
        What "front", "left" and "turning" mean on this machine, in the person's words; printed wherever they are used.
        Turning is which way the engine turns, and seen from which end.
    """

    job_id: int
    name: str
    zone: str
    front_means: str
    left_means: str
    created_at: datetime
    turning_means: str = ""


@dataclass(frozen=True, slots=True)
class ClockCorrection:
    """Seconds to add to a camera's written times, from a local time on (None: from the first picture on)."""

    since: datetime | None
    seconds: float


@dataclass(frozen=True, slots=True)
class Camera:
    """One phone or camera of a job.

    Attributes
    ----------
    name : str
        Make and model, or the file-name prefix when the files name no camera.
    corrections : tuple of ClockCorrection
        In order of time; the last one that has begun counts. Empty until a person says otherwise.
    also : tuple of str
        Other names under which files tell of it, by the person's word.
    """

    camera_id: int
    job_id: int
    name: str
    corrections: tuple[ClockCorrection, ...]
    also: tuple[str, ...] = ()

    def correction_s(self, local: datetime | None) -> float:
        """Seconds to add to a time written as `local`."""
        begun = [c.seconds for c in self.corrections if c.since is None or (local is not None and c.since <= local)]
        return begun[-1] if begun else 0.0


@dataclass(frozen=True, slots=True)
class Picture:
    """A photo, or a frame out of a clip: anything that can carry a pin.

    Attributes
    ----------
    width_px, height_px : int
        As displayed, Orientation applied.
    taken_local : datetime or None
        As the camera wrote it.
    offset_minutes : int or None
    taken_at : datetime or None
        Corrected by the camera's clock correction; aware when an offset is known, else naive.
    taken_utc_s : float or None
        The corrected moment as Unix seconds; None when it cannot be told.
    clip_id, clip_seconds : int, float or None
        For frames: the clip and the offset into it.
    sharpness : float or None
        Variance of the Laplacian of the preview; larger is sharper.
    """

    picture_id: int
    job_id: int
    kind: Literal["photo", "frame"]
    file: str
    digest: str | None
    camera_id: int | None
    width_px: int
    height_px: int
    orientation: int
    focal_35mm: float | None
    taken_local: datetime | None
    offset_minutes: int | None
    taken_at: datetime | None
    taken_utc_s: float | None
    time_source: TimeSource
    time_doubt: TimeDoubt | None
    clip_id: int | None
    clip_seconds: float | None
    phash: int | None
    sharpness: float | None
    dump_id: int
    trouble: str | None


@dataclass(frozen=True, slots=True)
class Clip:
    """A video, kept whole as an original; its frames are pictures."""

    clip_id: int
    job_id: int
    file: str
    digest: str
    camera_id: int | None
    duration_s: float
    width_px: int
    height_px: int
    rotation_deg: int
    taken_local: datetime | None
    offset_minutes: int | None
    taken_at: datetime | None
    taken_utc_s: float | None
    time_source: TimeSource
    time_doubt: TimeDoubt | None
    dump_id: int
    trouble: str | None


@dataclass(frozen=True, slots=True)
class Spot:
    """Pictures that show the same place on the machine.

    Attributes
    ----------
    name : str
        The person's name for it, empty until one is given.
    picture_ids : tuple of int
        In order of time.
    """

    spot_id: int
    job_id: int
    name: str
    picture_ids: tuple[int, ...]


PairKind = Literal["removed", "refitted", "changed"]


@dataclass(frozen=True, slots=True)
class Pair:
    """Two pictures of one spot, before and after something was removed or refitted. Computed, until said otherwise."""

    spot_id: int
    before_id: int
    after_id: int
    kind: PairKind
    score: float
