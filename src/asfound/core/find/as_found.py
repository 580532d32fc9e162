"""Rank the pictures of one tag end, the best one of how it was found first.

Only a picture from before the thing came off shows it as found. Among those a person's pin goes before the machine's
proposal; then the closest, sharpest picture with the pin well inside the frame is best. The others follow as
alternatives, so that a person can judge for themselves.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf, log2, sqrt
from statistics import median
from typing import Literal, NamedTuple

from asfound.core.log.first_off import taken_when
from asfound.model.tags import Source

Stage = Literal["before", "undated", "gone", "after"]

EDGE_FRAC = 0.08
"""A pin nearer to the edge than this share of the picture has its surroundings cut off."""

SHARPNESS_WEIGHT = 0.5
"""Twice as close counts as much as four times the variance of the Laplacian: a blurred close-up still shows more."""

LARGEST_GAIN = 2.0
"""Sharpness beyond four times that of the others says more about their content (gravel, mesh) than about focus."""

_STAGES: tuple[Stage, ...] = ("before", "undated", "gone", "after")
_STAGE_WORDS = {
    "before": "from before it came off",
    "undated": "no time known",
    "gone": "seems to be gone in this picture",
    "after": "after it came off",
}
_SOURCE_WORDS = {"hand": "pinned by hand", "carried": "pin carried on", "read": "number read"}


@dataclass(frozen=True, slots=True)
class Sighting:
    """A tag end in a picture.

    Attributes
    ----------
    taken_utc_s : float or None
        Corrected time of the picture, None when it cannot be told.
    x_frac, y_frac, w_frac, h_frac : float
        The pin's point, or the centre and size of its box; None sizes for a point.
    source : {"hand", "carried", "read"}
    confirmed : bool
        Whether a person made the pin or confirmed it; False for a proposal.
    confidence : float
        0 to 1; only that of proposals counts.
    sharpness : float or None
        Variance of the Laplacian, around the pin if known.
    scale : float or None
        How large the place appears: the share of this picture's side that one unit takes, the same unit in all pictures
        of the end.
    gone : bool or None
        Whether the thing seems to be missing where the pin is; None when nobody has looked.
    """

    picture_id: int
    taken_utc_s: float | None
    x_frac: float
    y_frac: float
    w_frac: float | None
    h_frac: float | None
    source: Source
    confirmed: bool = True
    confidence: float = 1.0
    sharpness: float | None = None
    scale: float | None = None
    gone: bool | None = None


@dataclass(frozen=True, slots=True)
class RankedSighting:
    """A sighting with its place in the order.

    Attributes
    ----------
    stage : {"before", "undated", "gone", "after"}
        "undated": it has come off, but the picture's time is not known. "gone": from before it came off by the clock,
        but a proposal finds it missing in the picture.
    reason : str
        Why it stands where it does, in words for the person.
    """

    sighting: Sighting
    stage: Stage
    reason: str

    @property
    def picture_id(self) -> int:
        """The picture it is seen in."""
        return self.sighting.picture_id

    @property
    def is_as_found(self) -> bool:
        """Whether it may be shown as how the thing was found: only "before", and "undated" for want of better."""
        return self.stage in ("before", "undated")


def rank_as_found(sightings: Iterable[Sighting], off_utc_s: float | None) -> list[RankedSighting]:
    """Order the pictures of one tag end, best as-found picture first.

    Parameters
    ----------
    sightings : iterable of Sighting
        In any order; the result does not depend on it.
    off_utc_s : float or None
        When the thing first came off, None when it has not, or nobody said.

    Returns
    -------
    list of RankedSighting
        All of them. Equal ones stand in order of time, then of picture id.
    """
    given = list(sightings)
    views = [
        _View(sighting, _stage(sighting, off_utc_s), near, sharp)
        for sighting, near, sharp in zip(given, _closeness(given), _sharpness(given), strict=True)
    ]
    stage_words = _STAGE_WORDS if off_utc_s is not None else {**_STAGE_WORDS, "before": "nothing says that it came off"}
    return [
        RankedSighting(view.sighting, view.stage, f"{stage_words[view.stage]}, {_pin_words(view)}")
        for view in sorted(views, key=_rank)
    ]


class _View(NamedTuple):
    """A sighting seen beside the others: `near` and `sharp` are powers of two above or below the middle one."""

    sighting: Sighting
    stage: Stage
    near: float
    sharp: float


def _stage(sighting: Sighting, off_utc_s: float | None) -> Stage:
    taken = taken_when(sighting.taken_utc_s, off_utc_s)
    # A person who confirmed the pin saw the thing there; only a proposal is doubted.
    return "gone" if taken != "after" and sighting.gone and not sighting.confirmed else taken


def _closeness(sightings: Sequence[Sighting]) -> list[float]:
    """How large the thing appears: by the scale of its surroundings, else by the box drawn around it, else unknown."""
    by_scale = _gains([sighting.scale for sighting in sightings])
    by_box = _gains([_box_side(sighting) for sighting in sightings])
    return [scale if scale is not None else box or 0.0 for scale, box in zip(by_scale, by_box, strict=True)]


def _sharpness(sightings: Sequence[Sighting]) -> list[float]:
    gains = _gains([sighting.sharpness for sighting in sightings])
    return [max(-LARGEST_GAIN, min(LARGEST_GAIN, gain or 0.0)) for gain in gains]


def _gains(values: Sequence[float | None]) -> list[float | None]:
    """Each value as a power of two above or below the middle one; None where it is not known."""
    logs = [log2(value) if value is not None and value > 0 else None for value in values]
    known = [value for value in logs if value is not None]
    middle = median(known) if known else 0.0
    return [value - middle if value is not None else None for value in logs]


def _box_side(sighting: Sighting) -> float | None:
    if sighting.w_frac is None or sighting.h_frac is None:
        return None
    return sqrt(max(0.0, sighting.w_frac * sighting.h_frac))


def _edge_loss(sighting: Sighting) -> float:
    """0 for a pin well inside, 1 for a pin on the edge: as much as being half as close."""
    inside = min(sighting.x_frac, sighting.y_frac, 1 - sighting.x_frac, 1 - sighting.y_frac)
    return 1 - max(0.0, min(1.0, inside / EDGE_FRAC))


def _rank(view: _View) -> tuple[float, float, float, float, int, str, float, float]:
    sighting = view.sighting
    quality = view.near + SHARPNESS_WEIGHT * view.sharp - _edge_loss(sighting)
    quality += log2(max(sighting.confidence, 1e-3)) if not sighting.confirmed else 0.0
    taken = sighting.taken_utc_s if sighting.taken_utc_s is not None else inf
    # Rounded, so that two ways of computing the same closeness do not decide before the time does.
    order = _STAGES.index(view.stage), not sighting.confirmed, -round(quality, 6), taken
    return *order, sighting.picture_id, sighting.source, sighting.x_frac, sighting.y_frac


def _pin_words(view: _View) -> str:
    words = [_SOURCE_WORDS[view.sighting.source]]
    if view.sighting.source != "hand":
        words.append("confirmed" if view.sighting.confirmed else "not confirmed")
    words += [word for word, holds in (("close", view.near >= 0.5), ("far off", view.near <= -0.5)) if holds]
    words += [word for word, holds in (("sharp", view.sharp >= 0.5), ("blurred", view.sharp <= -1)) if holds]
    if _edge_loss(view.sighting) > 0:
        words.append("near the picture's edge")
    return ", ".join(words)
