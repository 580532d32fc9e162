"""Clips: what their headers say, and pictures at a moment. `asfound.media.frames` chooses moments worth keeping."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np

from asfound.core.capture.exif import parse_text
from asfound.errors import NotMedia, Refused, TooLarge, Unreadable
from asfound.media.format import RGBImage
from asfound.media.formats._boxes import read_clip_count
from asfound.media.limits import DEFAULT_LIMITS, Limits

KEY_TIME = "com.apple.quicktime.creationdate"
MAKE_KEYS = ("com.apple.quicktime.make", "com.android.manufacturer", "make", "manufacturer")
MODEL_KEYS = ("com.apple.quicktime.model", "com.android.model", "model")
DECODE_TRIES = 300
"""Damaged stretches give no frames; after so many packets without one the clip counts as unreadable."""


@dataclass(frozen=True, slots=True)
class ClipHeader:
    """What a clip says about itself.

    Attributes
    ----------
    duration_s : float
        0 when unknown.
    width_px, height_px : int
        As displayed, rotation applied.
    rotation_deg : int
        Clockwise turn that shows the stored frames upright: 0, 90, 180 or 270.
    key_time : str
        Capture time with offset, as written; empty when there is none.
    header_count : int or None
        `mvhd` creation time as stored, for `parse_clip_header`.
    make, model : str
    """

    duration_s: float
    width_px: int
    height_px: int
    rotation_deg: int
    key_time: str
    header_count: int | None
    make: str
    model: str


def read_clip_header(path: Path, limits: Limits = DEFAULT_LIMITS) -> ClipHeader:
    """Read a clip's header and decode its first frame, which alone knows the rotation for certain.

    Raises
    ------
    NotMedia
        If it holds no moving pictures.
    Unreadable
        If header or first frame cannot be read.
    TooLarge
        If its frames have more pixels than allowed.
    """
    with open(path, "rb") as file:
        count = read_clip_count(file)
    with open_clip(path, limits) as (container, stream):
        texts = {**stream.metadata, **container.metadata}
        first = next(decode_frames(container, stream), None)
        if first is None:
            raise Unreadable("no frame of the clip can be decoded")
        turn = clockwise_turn(first)
        width, height = (first.height, first.width) if turn in (90, 270) else (first.width, first.height)
        return ClipHeader(
            duration_s=clip_duration(container, stream),
            width_px=width,
            height_px=height,
            rotation_deg=turn,
            key_time=parse_text(texts.get(KEY_TIME)),
            header_count=count,
            make=_first_text(texts, MAKE_KEYS),
            model=_first_text(texts, MODEL_KEYS),
        )


def frame_at(path: Path, seconds: float, *, limits: Limits = DEFAULT_LIMITS) -> RGBImage:
    """The frame that is on screen at a moment, upright, shape (h, w, 3) RGB; the last one when the clip is shorter.

    The same moment as in `PickedFrame.seconds` gives the same frame.
    """
    with open_clip(path, limits) as (container, stream):
        seek_before(container, stream, seconds)
        shown = None
        # Half a frame of tolerance: times are kept in floating point.
        latest = seconds + 0.5 / frame_rate(stream)
        for frame in decode_frames(container, stream):
            if shown is not None and frame_seconds(frame, stream) > latest:
                break
            shown = frame
        if shown is None:
            raise Unreadable(f"no frame can be decoded at {seconds:.1f} s of the clip")
        return upright_image(shown)


@contextmanager
def open_clip(
    path: Path, limits: Limits = DEFAULT_LIMITS
) -> Iterator[tuple[av.container.InputContainer, av.VideoStream]]:
    """The container and its first video stream. Only this family of formats is tried, whatever the content says."""
    try:
        with av.open(os.fspath(path), format="mov", metadata_errors="replace") as container:
            stream = next(iter(container.streams.video), None)
            if stream is None:
                raise NotMedia("the clip holds no moving pictures")
            decoder = stream.codec_context
            if decoder is None:
                raise Unreadable("nothing here can decode the clip's pictures")
            pixels = decoder.width * decoder.height
            if pixels > limits.clip_pixels:
                raise TooLarge(f"its frames have {pixels} pixels, more than the {limits.clip_pixels} allowed")
            # More threads take more processor time for the same frames, and frames wasted at each seek.
            decoder.thread_count = 1
            yield container, stream
    except Refused:
        raise
    except MemoryError as error:
        raise TooLarge("the clip needs more memory than one file may take") from error
    except av.InvalidDataError as error:
        raise Unreadable("the clip is cut off or damaged: nothing in it can be played") from error
    except av.FFmpegError as error:
        # Its own text names a number and our path, which tell a person nothing.
        raise Unreadable(f"the clip is damaged: {(error.strerror or 'it cannot be decoded').lower()}") from error
    except (OSError, ValueError, RuntimeError, OverflowError, ArithmeticError) as error:
        raise Unreadable(f"the clip is damaged: {' '.join(str(error).split())[:160]}") from error


def decode_frames(container: av.container.InputContainer, stream: av.VideoStream) -> Iterator[av.VideoFrame]:
    """Frames from the present place on, passing over damaged packets; ends after `DECODE_TRIES` without a frame."""
    barren = 0
    packets = container.demux(stream)
    while barren < DECODE_TRIES:
        barren += 1
        try:
            packet = next(packets, None)
            if packet is None:
                return
            frames = packet.decode()
        except av.InvalidDataError:
            continue
        except av.EOFError:
            return
        for frame in frames:
            if frame.pts is not None:
                barren = 0
                yield frame


def seek_before(container: av.container.InputContainer, stream: av.VideoStream, seconds: float) -> None:
    """Go to the last keyframe at or before a moment."""
    ticks = int(max(seconds, 0.0) / float(stream.time_base or 1)) + (stream.start_time or 0)
    container.seek(ticks, stream=stream, backward=True)


def frame_seconds(frame: av.VideoFrame, stream: av.VideoStream) -> float:
    """When a frame is shown, in seconds from the clip's first one."""
    return float(((frame.pts or 0) - (stream.start_time or 0)) * (stream.time_base or 1))


def frame_rate(stream: av.VideoStream) -> float:
    """Frames per second, 30 where the file does not tell."""
    rate = stream.average_rate or stream.guessed_rate
    return float(rate) if rate and 1 <= rate <= 1000 else 30.0


def clip_duration(container: av.container.InputContainer, stream: av.VideoStream) -> float:
    """Seconds; 0 when the file does not tell."""
    if stream.duration and stream.time_base:
        return float(stream.duration * stream.time_base)
    return float((container.duration or 0) / av.time_base)


def clockwise_turn(frame: av.VideoFrame) -> int:
    """0, 90, 180 or 270; the library counts anticlockwise."""
    return int(round(-frame.rotation / 90) % 4 * 90)


def upright_image(frame: av.VideoFrame) -> RGBImage:
    """A frame's pixels, shape (h, w, 3) RGB, turned upright."""
    image = frame.to_ndarray(format="rgb24")
    return np.ascontiguousarray(np.rot90(image, -clockwise_turn(frame) // 90))


def _first_text(texts: dict[str, str], keys: tuple[str, ...]) -> str:
    return next((text for key in keys if (text := parse_text(texts.get(key)))), "")
