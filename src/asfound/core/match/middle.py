"""Whether what agrees between two pictures takes in what they aim at, or lies around it alone."""

from __future__ import annotations

import numpy as np

from asfound.core.match.arrays import FloatArray

SPREAD = 0.2
"""How far from the middle, in sides of the picture, a keypoint tells of what the picture aims at: one standard
deviation. Chosen by hand; not measured."""
PRIOR = 0.5
"""Matches added that are spread as all keypoints are, so that few say little. Chosen by hand; not measured."""
LEAST_SHARE = 0.4
"""Pictures of one spot share more of what lies in their middle than this, against what they share in all: of 197 pairs
of rendered machines 190 do. Chosen by how spots come out on the bay and `sample_media`, among 17 settings
(docs/decisions/0046)."""


def middle_share(agreeing_frac: FloatArray, all_frac: FloatArray) -> float:
    """How much of what lies in the middle of a picture agrees, against how much of all does; 1 when spread alike.

    Parameters
    ----------
    agreeing_frac, all_frac : ndarray of shape (k, 2) and (n, 2), float64
        Keypoints that agree, and all of them, in fractions of the picture.
    """
    if not len(all_frac):
        return 0.0
    usual = _weights(all_frac).mean()
    return float((_weights(agreeing_frac).sum() + PRIOR) / (len(agreeing_frac) + PRIOR / usual) / usual)


def _weights(points_frac: FloatArray) -> FloatArray:
    """How much each point (n, 2) tells of what its picture aims at, 0 to 1."""
    return np.asarray(np.exp(-0.5 * (((points_frac - 0.5) / SPREAD) ** 2).sum(axis=1)))
