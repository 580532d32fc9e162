"""A photo that is asked about, with its features at the sizes that are needed, each found once."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from asfound.core.match import IN_USE
from asfound.core.match.arrays import Float32Array, FloatArray, GrayImage
from asfound.core.match.features import Features, detect_features, normalised_descriptors
from asfound.core.match.pixels import Size, from_middle, reduce_gray

FIRST_PX, SECOND_PX, SECOND_MOST = 640, 512, 2048
"""Sides of the photo: what is nearer than in the archive is met halfway. The second, near the first, is another sample
of the same chances."""


class QueryPhoto:
    """A photo that is asked about, with its features at the sizes that are needed.

    Parameters
    ----------
    gray : ndarray of shape (h, w), uint8
        As displayed, any size.
    focal_px : float
        Focal length in pixels at the size of `gray` (`camera.focal_px_from_35mm`).
    """

    def __init__(self, gray: GrayImage, focal_px: float, *, method: str = IN_USE) -> None:
        self.gray, self.method = gray, method
        self.size_px: Size = (gray.shape[1], gray.shape[0])
        self.focal_px = focal_px

    @functools.cached_property
    def first(self) -> Sized:
        """The photo at the size it is always looked at."""
        return self._sized(detect_features(reduce_gray(self.gray, FIRST_PX), method=self.method))

    @functools.cached_property
    def second(self) -> Sized:
        """The photo at the size it is looked at when the first leaves doubt."""
        found = detect_features(reduce_gray(self.gray, SECOND_PX), method=self.method)
        return self._sized(found.strongest(SECOND_MOST))

    def _sized(self, features: Features) -> Sized:
        """The features with their unit descriptors and the focal length at their size."""
        focal_px = self.focal_px * max(features.size_px) / max(self.size_px)
        return Sized(features, normalised_descriptors(features), focal_px)


@dataclass(frozen=True, eq=False)
class Sized:
    """Features of a photo at one size, their unit descriptors, and the focal length at that size."""

    features: Features
    unit: Float32Array
    focal_px: float

    @property
    def from_middle_px(self) -> FloatArray:
        """Keypoints as the camera sees them: pixels from the picture's middle, shape (n, 2), float64."""
        return from_middle(self.features.points_px, self.features.size_px)
