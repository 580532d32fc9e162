"""Open a photo or a clip of any known format: content decides first, the name's suffix second."""

from __future__ import annotations

import os
import stat
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import BinaryIO, Literal
from zoneinfo import ZoneInfo

import cv2
import numpy as np

from asfound.core.capture.exif import parse_exif
from asfound.core.capture.orientation import turn_upright, upright_size
from asfound.core.capture.times import TimeHints, choose_taken
from asfound.core.capture.xmp import MOST_BYTES, PACKET, parse_xmp_time
from asfound.errors import NotMedia, Unreadable
from asfound.media.clips import ClipHeader, read_clip_header
from asfound.media.format import PREFIX_BYTES, AnyFormat, ImageFormat, RGBImage, all_formats
from asfound.media.limits import DEFAULT_LIMITS, Limits
from asfound.model.capture import CaptureDetails
from asfound.system import OPEN_FLAGS

Place = str | bytes | os.PathLike[str] | os.PathLike[bytes]


@dataclass(frozen=True, slots=True)
class MediaDetails:
    """What a file says about itself before its pictures are looked at.

    Attributes
    ----------
    format : str
        The format's name, such as ``JPEG``.
    kind : {"photo", "clip"}
    width_px, height_px : int
        As displayed, Orientation or rotation applied.
    capture : CaptureDetails
    duration_s : float or None
        Of a clip.
    rotation_deg : int
        Of a clip: the clockwise turn that shows it upright, 0, 90, 180 or 270.
    trouble : str
        What looks wrong although it can be opened; empty when nothing does.
    """

    format: str
    kind: Literal["photo", "clip"]
    width_px: int
    height_px: int
    capture: CaptureDetails
    duration_s: float | None = None
    rotation_deg: int = 0
    trouble: str = ""


def open_regular(path: Place) -> BinaryIO:
    """Open a regular file for reading; a link, pipe, device or folder is refused and never waited for.

    Raises
    ------
    Unreadable
        With the system's reason.
    """
    try:
        handle = os.open(path, OPEN_FLAGS)
    except OSError as error:
        raise Unreadable(f"the system will not open it: {error.strerror}") from error
    except ValueError as error:
        raise Unreadable(f"the system will not open it: {error}") from error
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise Unreadable("it is not a regular file")
    return os.fdopen(handle, "rb")


def identify(source: Place, name: str = "") -> AnyFormat:
    """The format of a file, from its first bytes.

    Raises
    ------
    NotMedia
        If no format knows the content, whatever the suffix says.
    Unreadable
        If it cannot be opened.
    """
    with open_regular(source) as file:
        prefix = _read(file, PREFIX_BYTES)
    return identify_prefix(prefix, name or os.fsdecode(source))


def identify_prefix(prefix: bytes, name: str = "") -> AnyFormat:
    """The format of a file that begins with `prefix`; among several that would do, the one its suffix names."""
    if not prefix:
        raise NotMedia("the file is empty")
    fitting = [each for each in all_formats() if each.accepts(prefix)]
    if not fitting:
        raise NotMedia("its content is neither a picture nor a clip of a known format")
    suffix = os.path.splitext(name)[1].lower()
    return next((each for each in fitting if suffix in each.suffixes), fitting[0])


def read_details(
    source: Place | bytes,
    *,
    name: str = "",
    zone: ZoneInfo | None = None,
    file_time: datetime | None = None,
    limits: Limits = DEFAULT_LIMITS,
) -> MediaDetails:
    """Read what a file says about itself, without decoding a photo.

    Parameters
    ----------
    source : path, or bytes
        ``bytes`` are the content of a photo, not a name.
    name : str
        The name on the card, where it differs from the path: its suffix and the time in it may be needed.
    zone : ZoneInfo or None
        Where local times without an offset are read.
    file_time : datetime or None
        Last resort for the capture time; taken from the path when it is not given.

    Raises
    ------
    NotMedia, TooLarge, Unreadable
    """
    if isinstance(source, bytes):
        chosen = identify_prefix(source[:PREFIX_BYTES], name)
        if not isinstance(chosen, ImageFormat):
            raise NotMedia("a clip can only be read from a file")
        return photo_details(source, chosen, name=name, zone=zone, file_time=file_time, limits=limits)
    name = name or os.path.basename(os.fsdecode(source))
    chosen = identify(source, name)
    if file_time is None:
        file_time = datetime.fromtimestamp(os.stat(source).st_mtime, UTC)
    if isinstance(chosen, ImageFormat):
        data = read_photo(source, limits)
        return photo_details(data, chosen, name=name, zone=zone, file_time=file_time, limits=limits)
    header = read_clip_header(Path(os.fsdecode(source)), limits)
    return clip_details(header, chosen, name=name, zone=zone, file_time=file_time)


def photo_details(
    data: bytes,
    chosen: ImageFormat,
    *,
    name: str,
    zone: ZoneInfo | None,
    file_time: datetime | None,
    limits: Limits,
    now: datetime | None = None,
) -> MediaDetails:
    """Details of a photo from its bytes, its format being known; see `read_details`."""
    limits.check_bytes(len(data))
    header = chosen.read_details(data, limits)
    capture = parse_exif(header.fields)
    xmp = parse_xmp_time(data[at : at + MOST_BYTES]) if (at := data.find(PACKET, 0, limits.header_bytes)) >= 0 else None
    hints = TimeHints(exif=capture.taken, xmp=xmp, file_name=name, file_time=file_time, now=now)
    capture = replace(capture, taken=choose_taken(hints, zone), orientation=header.orientation)
    width, height = upright_size(header.width_px, header.height_px, header.orientation)
    return MediaDetails(chosen.name, "photo", width, height, capture, trouble=header.trouble)


def clip_details(
    header: ClipHeader,
    chosen: AnyFormat,
    *,
    name: str,
    zone: ZoneInfo | None,
    file_time: datetime | None,
    now: datetime | None = None,
) -> MediaDetails:
    """Details of a clip from its header, already read; see `read_details`."""
    hints = TimeHints(
        clip_key=header.key_time, clip_header=header.header_count, file_name=name, file_time=file_time, now=now
    )
    capture = CaptureDetails(choose_taken(hints, zone), header.make, header.model)
    return MediaDetails(
        chosen.name,
        "clip",
        header.width_px,
        header.height_px,
        capture,
        duration_s=header.duration_s,
        rotation_deg=header.rotation_deg,
    )


def open_picture(
    source: Place | bytes, *, limits: Limits = DEFAULT_LIMITS, longest: int | None = None, name: str = ""
) -> RGBImage:
    """Decode a photo, upright.

    Parameters
    ----------
    source : path, or bytes
        ``bytes`` are the content of a photo, not a name.
    longest : int or None
        Reduce so that the longer side has at most so many pixels; None keeps them all. JPEGs are decoded at reduced
        size where that is enough, at a third of the cost.

    Returns
    -------
    ndarray of shape (h, w, 3), uint8
        RGB, Orientation applied.

    Raises
    ------
    NotMedia, TooLarge, Unreadable
    """
    data = source if isinstance(source, bytes) else read_photo(source, limits)
    limits.check_bytes(len(data))
    chosen = identify_prefix(data[:PREFIX_BYTES], name or ("" if isinstance(source, bytes) else os.fsdecode(source)))
    if not isinstance(chosen, ImageFormat):
        raise NotMedia("it is a clip, not a picture")
    return decode_upright(data, chosen, limits, at_least=longest, at_most=longest)


def decode_upright(
    data: bytes,
    chosen: ImageFormat,
    limits: Limits,
    *,
    at_least: int | None,
    at_most: int | None,
    orientation: int | None = None,
) -> RGBImage:
    """Decode with a longest side of at least `at_least` where the photo has it, then reduce it to `at_most`.

    `orientation` is read from the photo when it is not given.
    """
    if orientation is None:
        orientation = chosen.read_details(data, limits).orientation
    image = chosen.decode(data, limits, at_least)
    if at_most is not None:
        image = reduce_to(image, at_most)
    return turn_upright(image, orientation)


def reduce_to(image: RGBImage, longest: int) -> RGBImage:
    """Reduce to a longest side of at most `longest` by area averaging; smaller pictures come back as they are."""
    height, width = image.shape[:2]
    if max(height, width) <= longest:
        return image
    scale = longest / max(height, width)
    size = max(1, round(width * scale)), max(1, round(height * scale))
    return np.asarray(cv2.resize(image, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)


def read_photo(source: Place, limits: Limits) -> bytes:
    """The whole file, if it is a regular one and within the limits."""
    with open_regular(source) as file:
        size = os.fstat(file.fileno()).st_size
        limits.check_bytes(size)
        # Asked for by its size: Python sets aside as much as is asked for, and a limit is a hundred times that.
        return _read(file, size)


def _read(file: BinaryIO, most: int) -> bytes:
    try:
        return file.read(most)
    except OSError as error:
        raise Unreadable(f"reading it failed: {error.strerror}") from error
