"""How large the pictures of one tag end show it, beside one another."""

from __future__ import annotations

from collections.abc import Iterable
from math import isfinite
from typing import NamedTuple


class ScaleRatio(NamedTuple):
    """How much larger the end shows in one picture than in another.

    Attributes
    ----------
    from_id, to_id : int
        Picture ids.
    ratio : float
        Share of the picture's side that the end takes in `to_id`, divided by that in `from_id`.
    confidence : float
        0 to 1: that the end was found in `to_id`.
    """

    from_id: int
    to_id: int
    ratio: float
    confidence: float


def chain_scales(ratios: Iterable[ScaleRatio]) -> dict[int, float]:
    """Scale of each picture in one unit that they share, chained from picture to picture over the surest ratios.

    The unit is the scale of the picture that comes first of the largest group of pictures that hang together; pictures
    of other groups cannot be compared with these and are left out.
    """
    links: dict[int, dict[int, tuple[float, float]]] = {}
    for one in ratios:
        if isfinite(one.ratio) and one.ratio > 0:
            for a, b, ratio in ((one.from_id, one.to_id, one.ratio), (one.to_id, one.from_id, 1 / one.ratio)):
                known = links.setdefault(a, {}).get(b)
                if known is None or one.confidence > known[0]:
                    links[a][b] = one.confidence, ratio
    groups: list[dict[int, float]] = []
    for start in links:
        if not any(start in group for group in groups):
            groups.append(_chained(start, links))
    return max(groups, key=len, default={})


def _chained(start: int, links: dict[int, dict[int, tuple[float, float]]]) -> dict[int, float]:
    """Every picture that can be reached; each next one by the surest ratio from those that are reached (Prim 1957)."""
    scales = {start: 1.0}
    while ways := [
        (confidence, -a, -b, ratio) for a in scales for b, (confidence, ratio) in links[a].items() if b not in scales
    ]:
        _confidence, a, b, ratio = max(ways)
        scales[-b] = scales[-a] * ratio
    return scales
