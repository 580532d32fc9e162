"""Everything that one file gives: details, previews, fingerprints, and the pictures out of a clip.

This is the part of a dump that decoders can crash in; `asfound.media.workers` runs it in processes of its own.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from asfound.errors import Refused
from asfound.media.clips import read_clip_header
from asfound.media.format import ImageFormat
from asfound.media.frames import pick_frames
from asfound.media.limits import DEFAULT_LIMITS, Limits, trouble_of
from asfound.media.opening import MediaDetails, clip_details, identify, photo_details, read_photo
from asfound.media.thumbnails import Derived, derive_from_image, derive_photo


@dataclass(frozen=True, slots=True)
class DerivedFrame:
    """A picture out of a clip: the moment in seconds from its start, and what was made of it."""

    seconds: float
    derived: Derived


@dataclass(frozen=True, slots=True)
class Inspected:
    """What one file gave.

    Attributes
    ----------
    details : MediaDetails or None
        None when not even the header can be read.
    derived : Derived or None
        Of a photo; None for clips and for photos that cannot be decoded.
    frames : tuple of DerivedFrame
        Of a clip, in order of time.
    trouble : str
        Why something is missing or doubtful; empty when nothing is.
    """

    details: MediaDetails | None
    derived: Derived | None = None
    frames: tuple[DerivedFrame, ...] = ()
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Inspection:
    """One file to be inspected; small, so that it can be sent to another process.

    Attributes
    ----------
    path : str
        Where the bytes are, usually an original in the archive.
    name : str
        The name on the card.
    zone : str
        IANA name of the job's time zone, empty for none.
    file_time : datetime or None
        Last change of the file on the card.
    now : datetime or None
        When it is read; see `TimeHints`.
    """

    path: str
    name: str = ""
    zone: str = ""
    file_time: datetime | None = None
    now: datetime | None = None


def inspect(wanted: Inspection, limits: Limits = DEFAULT_LIMITS) -> Inspected:
    """Inspect one file. Damage is told in `trouble`, not raised; whatever can be read in spite of it is given.

    Raises
    ------
    NotMedia
        If its content is of no known format.
    Unreadable
        If it cannot be opened at all.
    """
    name = wanted.name or os.path.basename(wanted.path)
    zone = ZoneInfo(wanted.zone) if wanted.zone else None
    file_time = wanted.file_time or datetime.fromtimestamp(os.stat(wanted.path).st_mtime, UTC)
    chosen = identify(wanted.path, name)
    try:
        if isinstance(chosen, ImageFormat):
            data = read_photo(wanted.path, limits)
            details = photo_details(
                data, chosen, name=name, zone=zone, file_time=file_time, limits=limits, now=wanted.now
            )
            return _with_derived(details, data, chosen, limits)
        header = read_clip_header(Path(wanted.path), limits)
        return _with_frames(
            clip_details(header, chosen, name=name, zone=zone, file_time=file_time, now=wanted.now),
            wanted.path,
            limits,
        )
    except Refused as refusal:
        return Inspected(None, trouble=trouble_of(refusal))


def _with_derived(details: MediaDetails, data: bytes, chosen: ImageFormat, limits: Limits) -> Inspected:
    try:
        return Inspected(
            details, derive_photo(data, chosen, limits, details.capture.orientation), trouble=details.trouble
        )
    except Refused as refusal:
        return Inspected(details, trouble=trouble_of(refusal))


def _with_frames(details: MediaDetails, path: str, limits: Limits) -> Inspected:
    frames: list[DerivedFrame] = []
    try:
        # One at a time, so that damage in the middle keeps what came before it.
        frames.extend(
            DerivedFrame(round(picked.seconds, 3), derive_from_image(picked.image_rgb))
            for picked in pick_frames(Path(path), limits=limits)
        )
    except Refused as refusal:
        return Inspected(details, frames=tuple(frames), trouble=trouble_of(refusal))
    return Inspected(details, frames=tuple(frames), trouble=details.trouble)
