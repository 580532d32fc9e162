"""Where in a clip a tag end can be seen, and when it came off in it, from pins on frames taken out of the clip."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

SURE = 0.5
"""Less sure places on frames say nothing about when something came off."""


@dataclass(frozen=True, slots=True)
class FrameSighting:
    """A tag end on a frame of a clip.

    Attributes
    ----------
    seconds : float
        The frame's offset into the clip.
    x_frac, y_frac : float
        Fractions of the frame as displayed.
    confidence : float
        That the place is right; 1 for a pin.
    sharpness : float or None
        Variance of the Laplacian.
    gone : bool or None
        True where something else shows at the place.
    """

    clip_id: int
    picture_id: int
    seconds: float
    x_frac: float
    y_frac: float
    confidence: float
    sharpness: float | None = None
    gone: bool | None = None


@dataclass(frozen=True, slots=True)
class InClip:
    """A tag end in one clip.

    Attributes
    ----------
    best : FrameSighting or None
        Where it is best looked at; None when the place shows but the thing is gone in all frames.
    from_s, to_s : float
        First and last frame that show it, or where it was; seconds into the clip.
    last_with, first_without : FrameSighting or None
        The frames between which it came off, when the clip holds that moment; both or none.
    """

    clip_id: int
    best: FrameSighting | None
    from_s: float
    to_s: float
    last_with: FrameSighting | None = None
    first_without: FrameSighting | None = None

    @property
    def is_seen(self) -> bool:
        """Whether the frames themselves show the moment; else it is the log's time alone that tells it."""
        return self.first_without is not None and bool(self.first_without.gone)


def find_in_clips(sightings: Iterable[FrameSighting], off_s: dict[int, float] | None = None) -> list[InClip]:
    """What each clip shows of one tag end; clips that show it attached first, then by id.

    Parameters
    ----------
    sightings : iterable of FrameSighting
        Of one tag end, any order.
    off_s : dict of int to float, optional
        By clip, how many seconds into it the log says that the thing came off; may lie outside the clip.
    """
    by_clip: dict[int, list[FrameSighting]] = defaultdict(list)
    for sighting in sightings:
        by_clip[sighting.clip_id].append(sighting)
    found = [_in_clip(frames, (off_s or {}).get(clip_id)) for clip_id, frames in by_clip.items()]
    return sorted(found, key=lambda one: (one.best is None, one.clip_id))


def _in_clip(frames: list[FrameSighting], off_s: float | None) -> InClip:
    frames = sorted(frames, key=lambda frame: (frame.seconds, frame.picture_id))
    without = [frame for frame in frames if frame.gone or (off_s is not None and frame.seconds >= off_s)]
    present = [frame for frame in frames if frame not in without]
    best = max(present, key=_clearness, default=None)
    last, first = _moment(present, without)
    return InClip(frames[0].clip_id, best, frames[0].seconds, frames[-1].seconds, last, first)


def _moment(
    present: list[FrameSighting], without: list[FrameSighting]
) -> tuple[FrameSighting, FrameSighting] | tuple[None, None]:
    """The last frame with it and the first without; none unless all that show it come before all that do not."""
    sure_with = [frame for frame in present if frame.confidence >= SURE]
    sure_without = [frame for frame in without if frame.confidence >= SURE]
    if not sure_with or not sure_without or sure_with[-1].seconds >= sure_without[0].seconds:
        return None, None
    return sure_with[-1], sure_without[0]


def _clearness(frame: FrameSighting) -> tuple[float, float, float, float]:
    """A place that is sure and not at the edge, then the sharpest frame, then the one nearest its middle."""
    edge = min(frame.x_frac, frame.y_frac, 1 - frame.x_frac, 1 - frame.y_frac)
    middle = -abs(frame.x_frac - 0.5) - abs(frame.y_frac - 0.5)
    return float(frame.confidence >= SURE), float(edge >= 0.08), frame.sharpness or 0.0, middle
