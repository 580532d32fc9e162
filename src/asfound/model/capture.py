"""When and with what a picture was taken."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum


class TimeSource(StrEnum):
    """Where a capture time was read, best first."""

    EXIF_ORIGINAL = "exif-original"
    EXIF_DIGITIZED = "exif-digitized"
    GPS = "gps"
    XMP = "xmp"
    CLIP_KEY = "clip-key"
    CLIP_HEADER = "clip-header"
    FILE_NAME = "file-name"
    EXIF_EDITED = "exif-edited"
    FILE_TIME = "file-time"
    UNKNOWN = "unknown"


class TimeDoubt(StrEnum):
    """Why a capture time may be wrong."""

    FILE_TIME = "only the file's own time is known"
    EDITED = "only the time of its last change in the camera or a program is known"
    RESET = "it is what a camera's clock starts from when its battery was out"
    REPEATED_HOUR = "this hour came twice when the clocks went back"
    SKIPPED_HOUR = "this hour was skipped when the clocks went forward"
    COUNTED_FROM_1970 = "the clip's clock seems to count from 1970"
    NEVER_SET = "no camera like it was there then, so its clock was never set"
    TO_COME = "it was still to come when the picture was brought in, so the camera's clock is wrong"


OF_WRONG_CLOCK = frozenset({TimeDoubt.NEVER_SET, TimeDoubt.RESET, TimeDoubt.TO_COME})
"""Doubts that end when the camera's clock is put right."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A capture time as the camera wrote it; never corrected.

    Attributes
    ----------
    local : datetime
        Wall-clock time, naive, to the microsecond.
    offset_minutes : int or None
        Minutes east of UTC, None when neither the file nor the job's zone tells.
    source : TimeSource
    doubt : TimeDoubt or None
    offset_from_zone : bool
        True when the offset is not in the file but was taken from the job's time zone.
    """

    local: datetime
    offset_minutes: int | None
    source: TimeSource
    doubt: TimeDoubt | None = None
    offset_from_zone: bool = False


@dataclass(frozen=True, slots=True)
class CaptureDetails:
    """What a file says about its own making.

    Attributes
    ----------
    taken : Taken or None
    make, model, serial : str
        The camera, empty when not given.
    orientation : int
        Exif 0x0112, 1 to 8.
    focal_35mm : float or None
        Focal length in millimetres as if on 35 mm film (Exif 0xA405), None when unknown.
    """

    taken: Taken | None
    make: str = ""
    model: str = ""
    serial: str = ""
    orientation: int = 1
    focal_35mm: float | None = None
