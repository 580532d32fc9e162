"""Boxes of what differs between two pictures: their shape, and which of them to show."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import FloatArray
from asfound.core.match.pixels import Size, frac_from_px

TIGHTEST, WIDEST = 0.05, 0.12
SPREADS = 2.4
"""Half a box's side as a share of the longer side of the picture, and in deviations of what is unanswered. A box should
hold the whole part, whose joint alone is what shows clearly."""

BACKGROUND = 0.4
"""Quantile of what is unanswered on a grid above which a place stands out from the rest. Chosen by hand; not
measured."""
LEAST_EXCESS = 1e-6
"""Where nothing stands out by more than this, the box is the smallest one around the joint."""
LEAST_AREA = 1e-12
"""Guards the division by the area of two boxes, in fractions of the picture."""
MOST_COVERED = 0.5
"""A box is not shown that overlaps a stronger one by so much (intersection over union): usual in detection; common
practice, no source."""

Box = tuple[float, float, float, float]
"""Left, top, width and height, fractions of the picture."""


@dataclass(frozen=True)
class Difference:
    """A box of AFTER, fractions of its width and height from its top left corner.

    Attributes
    ----------
    score : float
        Probability that something differs there, as far as rendered pictures tell; from 0.5 on, look there.
    near_keys : tuple
        Pins that lie in the box, the one it was found at first.
    in_before : Box or None
        The same place in BEFORE.
    """

    x_frac: float
    y_frac: float
    w_frac: float
    h_frac: float
    score: float
    near_keys: tuple[Hashable, ...] = ()
    in_before: Box | None = None


def least_answered(unlike: FloatArray, offsets: FloatArray, long_px: int) -> tuple[FloatArray, FloatArray]:
    """Middle and half sides, in pixels from the joint, of what stands out from the rest of its grid."""
    known = np.isfinite(unlike)
    if not known.any():
        return np.zeros(2), np.full(2, WIDEST * long_px)
    excess = np.clip(np.nan_to_num(unlike) - np.quantile(unlike[known], BACKGROUND), 0, None) * known
    weight = excess.sum()
    if weight < LEAST_EXCESS:
        return np.zeros(2), np.full(2, TIGHTEST * long_px)
    middle = (offsets * excess[..., None]).sum(axis=(0, 1)) / weight
    spread = np.sqrt(((offsets - middle) ** 2 * excess[..., None]).sum(axis=(0, 1)) / weight)
    return middle, np.clip(SPREADS * spread, TIGHTEST * long_px, WIDEST * long_px)


def held_box(middle_px: FloatArray, half_px: FloatArray, size: Size) -> Box:
    """A box by its middle and half sides, pixels, (2,) each, as fractions of a picture, cut at the picture's edges."""
    edge = np.array(size) - 0.5
    low = frac_from_px(np.clip(middle_px - half_px, -0.5, edge), size)
    high = frac_from_px(np.clip(middle_px + half_px, -0.5, edge), size)
    return float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1])


def distinct(found: Sequence[Difference]) -> list[Difference]:
    """The differences, strongest first, without those that mostly cover a stronger one."""
    kept: list[Difference] = []
    for box in sorted(found, key=lambda b: (-b.score, b.x_frac, b.y_frac)):
        if all(overlap(box, other) < MOST_COVERED for other in kept):
            kept.append(box)
    return kept


def overlap(a: Difference, b: Difference) -> float:
    """Intersection over union of two boxes."""
    width = min(a.x_frac + a.w_frac, b.x_frac + b.w_frac) - max(a.x_frac, b.x_frac)
    height = min(a.y_frac + a.h_frac, b.y_frac + b.h_frac) - max(a.y_frac, b.y_frac)
    both = max(0.0, width) * max(0.0, height)
    return both / max(a.w_frac * a.h_frac + b.w_frac * b.h_frac - both, LEAST_AREA)
