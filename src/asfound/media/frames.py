"""Pictures worth keeping out of a clip: sharp, and each different from the one before.

Short clips are decoded whole and give about one picture per 0.8 s while the camera moves. Longer ones are sampled:
a look every 2 s or more, a tenth of a second wide, at keyframes where there are any, so that a minute of clip costs
about a quarter of decoding it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import av
import cv2
import numpy as np
from numpy.typing import NDArray

from asfound.core.capture.sharpness import measure_sharpness
from asfound.media.clips import (
    clip_duration,
    decode_frames,
    frame_rate,
    frame_seconds,
    open_clip,
    seek_before,
    upright_image,
)
from asfound.media.format import RGBImage
from asfound.media.limits import DEFAULT_LIMITS, Limits

WHOLE_UP_TO_S = 24.0
SHORT_STEP_S = 0.8
LONG_STEP_S = 2.0
LOOK_FRAMES = 3
"""Frames decoded at each look into a long clip."""
SHARE_DECODED = 0.25
"""Share of a long clip's frames that may be decoded to reach places between far-apart keyframes."""
MEASURED_PER_S = 10.0
SMALL_PX = 320
ALIKE_BITS = 5
"""Pictures whose difference hashes lie this close, or closer, show the same (a still camera gives 0 to 3)."""
SHARPER = 1.2
"""How much sharper a look-alike must be to take the place of the picture before it."""
FLAT = 1.0
"""Below this sharpness there is nothing to see: a lens in a pocket."""


@dataclass(frozen=True, slots=True)
class PickedFrame:
    """A picture out of a clip.

    Attributes
    ----------
    seconds : float
        From the clip's first frame; `frame_at` gives the same picture.
    image_rgb : ndarray of shape (h, w, 3), uint8
        Upright.
    sharpness : float
        Variance of the Laplacian at 320 px; comparable within the clip only.
    """

    seconds: float
    image_rgb: RGBImage
    sharpness: float


@dataclass(slots=True)
class _Look:
    """A frame under consideration. The frame itself stays in the decoder's form until it is chosen."""

    seconds: float
    frame: av.VideoFrame
    sharpness: float
    signature: NDArray[np.bool_]

    def is_like(self, other: _Look) -> bool:
        return int(np.count_nonzero(self.signature != other.signature)) <= ALIKE_BITS


def pick_frames(path: Path, *, limits: Limits = DEFAULT_LIMITS) -> Iterator[PickedFrame]:
    """Choose pictures out of a clip, in order of time; at most `limits.frames`, at least one if any can be decoded.

    Holds two decoded frames at a time. Costs about a quarter of decoding the clip, for a minute of 1080p30.

    Raises
    ------
    NotMedia, TooLarge, Unreadable
        Before the first picture. Damage further on ends the clip there.
    """
    with open_clip(path, limits) as (container, stream):
        duration = clip_duration(container, stream)
        if 0 < duration <= WHOLE_UP_TO_S:
            step = max(SHORT_STEP_S, duration / limits.frames)
            looks = _sharpest_by_step(_look_all(container, stream), step)
        else:
            step = max(LONG_STEP_S, duration / limits.frames)
            looks = _look_around(container, stream, duration, step)
        for count, look in enumerate(_distinct(looks)):
            if count >= limits.frames:
                return
            yield PickedFrame(look.seconds, upright_image(look.frame), look.sharpness)


def _distinct(looks: Iterator[_Look]) -> Iterator[_Look]:
    """Drop look-alikes of the one before, keeping the sharpest of them; and flat ones, unless there is nothing else."""
    waiting: _Look | None = None
    for look in looks:
        if waiting is None or waiting.sharpness < FLAT:
            waiting = look
        elif look.sharpness < FLAT:
            continue
        elif not look.is_like(waiting):
            yield waiting
            waiting = look
        elif look.sharpness > SHARPER * waiting.sharpness:
            waiting = look
    if waiting is not None:
        yield waiting


def _sharpest_by_step(looks: Iterator[_Look], step: float) -> Iterator[_Look]:
    """The sharpest look of each stretch of `step` seconds, and at least half a step after the one before."""
    best: _Look | None = None
    earliest = 0.0
    for look in looks:
        if best is not None and int(look.seconds / step) != int(best.seconds / step):
            yield best
            earliest, best = best.seconds + step / 2, None
        if look.seconds >= earliest and (best is None or look.sharpness > best.sharpness):
            best = look
    if best is not None:
        yield best


def _look_all(container: av.container.InputContainer, stream: av.VideoStream) -> Iterator[_Look]:
    """Every few frames of the whole clip."""
    every = max(1, round(frame_rate(stream) / MEASURED_PER_S))
    for number, frame in enumerate(decode_frames(container, stream)):
        if number % every == 0:
            yield _look_at(frame, stream)


def _look_around(
    container: av.container.InputContainer, stream: av.VideoStream, duration: float, step: float
) -> Iterator[_Look]:
    """The sharpest frame of a short look at the beginning of each step.

    Without a keyframe within the step, the way there must be decoded. That is done while the clip's share of decoded
    frames lasts; else the step is passed over.
    """
    rate, keys = frame_rate(stream), _keyframe_seconds(stream)
    frames, at, spare = None, 0.0, 2.0 * LOOK_FRAMES
    for number in range(int(duration / step) + 1 if duration else 1):
        start = number * step
        spare += SHARE_DECODED * step * rate
        after = int(np.searchsorted(keys, start - 0.5 / rate))
        if after < len(keys) and keys[after] < start + step:
            start = at = float(keys[after])
            frames = None
        elif frames is None and after:
            at = float(keys[after - 1])
        if (start - at) * rate + LOOK_FRAMES > spare:
            continue
        if frames is None:
            # Half a frame late, lest rounding lands on the keyframe before.
            seek_before(container, stream, at + 0.5 / rate)
            frames = decode_frames(container, stream)
        best, used = _best_of_look(frames, stream, start - 0.5 / rate)
        spare -= used
        if best is None:
            frames = None
            continue
        at = best.seconds
        yield best


def _best_of_look(frames: Iterator[av.VideoFrame], stream: av.VideoStream, start: float) -> tuple[_Look | None, int]:
    """The sharpest of the next `LOOK_FRAMES` frames from `start` on, every second one measured; and frames decoded."""
    best: _Look | None = None
    used = looked = 0
    for frame in frames:
        used += 1
        if frame_seconds(frame, stream) < start:
            continue
        if looked % 2 == 0:
            look = _look_at(frame, stream)
            if best is None or look.sharpness > best.sharpness:
                best = look
        looked += 1
        if looked >= LOOK_FRAMES:
            break
    return best, used


def _keyframe_seconds(stream: av.VideoStream) -> NDArray[np.float64]:
    """Times of the keyframes by the file's index, ascending; empty when it has none.

    The index counts by order of decoding, which begins earlier than showing does; the first keyframe is at 0.
    """
    base = float(stream.time_base or 1)
    times = np.sort(np.array([entry.timestamp for entry in stream.index_entries if entry.is_keyframe], np.float64))
    return np.asarray((times - times[:1]) * base)


def _look_at(frame: av.VideoFrame, stream: av.VideoStream) -> _Look:
    gray = _small_gray(frame)
    # Difference hash: 9 x 8 grey, is each pixel brighter than its right neighbour (Krawetz, Kind of Like That, 2013).
    tiny = cv2.resize(gray, (9, 8), interpolation=cv2.INTER_AREA)
    return _Look(frame_seconds(frame, stream), frame, measure_sharpness(gray), tiny[:, :-1] > tiny[:, 1:])


def _small_gray(frame: av.VideoFrame) -> NDArray[np.uint8]:
    """The frame at a longest side of 320 px, not turned. Brightness is taken from the decoder as it lies there."""
    scale = min(1.0, SMALL_PX / max(frame.width, frame.height))
    size = max(3, round(frame.width * scale)), max(3, round(frame.height * scale))
    if frame.format.name in ("yuv420p", "yuvj420p", "nv12", "yuv422p", "yuvj422p"):
        plane = frame.planes[0]
        rows = np.frombuffer(plane, np.uint8).reshape(-1, plane.line_size)[: frame.height, : frame.width]
        return np.asarray(cv2.resize(rows, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    small = frame.reformat(width=size[0], height=size[1], format="gray8")
    return np.asarray(small.to_ndarray(), dtype=np.uint8)
