"""Matches that agree on how one picture lies in another: Hough voting over similarities.

A keypoint has a place, a diameter and an angle, so one match already says where the middle of one picture lies in the
other, how large and how turned. Matches of one place agree on that, chance ones do not (Lowe, IJCV 60, 2004, section
7.3). It needs no robust estimate.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from asfound.core.match.arrays import BoolArray, Float32Array
from asfound.core.match.pixels import Size, diagonal_px, middle_px

AS_COMPLEX = np.array([1, 1j])
"""Times points (..., 2): x + iy, so that a product turns and grows them."""
LEAST_DIAMETER_PX = 1e-3
"""Guards the ratio of diameters; no detector gives less than a pixel."""
WHOLE_TURN_DEG = 360.0


@dataclass(frozen=True)
class VoteTolerance:
    """How nearly two matches must say the same.

    Attributes
    ----------
    turn_deg : float
        Of how far the picture is turned, degrees.
    octaves : float
        Of how large it lies in the other, octaves (factors of two).
    apart : float
        Of where its middle lies in the other, in fractions of its own diagonal as it shows there.
    least_growth : float
        A picture that shows smaller than this is taken to show so large when `apart` is judged.
    """

    turn_deg: float
    octaves: float
    apart: float
    least_growth: float = 0.0


def votes_agree(here: Float32Array, there: Float32Array, size_px: Size, tolerance: VoteTolerance) -> BoolArray:
    """Which of k matches agree with which on the place, the size and the turn of a picture in another.

    Parameters
    ----------
    here, there : ndarray of shape (k, 4), float32
        Keypoints that match, of the picture and of the other one, as `Features.rows` gives them.
    size_px : (int, int)
        Of the picture.
    tolerance : VoteTolerance

    Returns
    -------
    ndarray of shape (k, k), bool
        Row i says which matches agree with match i, itself among them; not symmetric, as each judges by its own growth.
    """
    turns_deg = np.mod(there[:, 3] - here[:, 3], WHOLE_TURN_DEG)
    growth = np.maximum(there[:, 2], LEAST_DIAMETER_PX) / np.maximum(here[:, 2], LEAST_DIAMETER_PX)
    octaves = np.log2(growth)
    to_middle = (middle_px(size_px) - here[:, :2]) @ AS_COMPLEX * growth * np.exp(1j * np.radians(turns_deg))
    middles = there[:, :2] @ AS_COMPLEX + to_middle
    reach = tolerance.apart * diagonal_px(size_px) * np.maximum(growth, tolerance.least_growth)
    apart_deg = np.abs(turns_deg[:, None] - turns_deg[None])
    agree = np.minimum(apart_deg, WHOLE_TURN_DEG - apart_deg) < tolerance.turn_deg
    agree &= np.abs(octaves[:, None] - octaves[None]) < tolerance.octaves
    agree &= np.abs(middles[:, None] - middles[None]) < reach[:, None]
    return np.asarray(agree)
