"""How two pictures of a place lie over each other: a point of one is found in the other, by the stored matches."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from asfound.actions import matching, views
from asfound.actions.archive import Archive
from asfound.actions.compare import stored_likeness
from asfound.core.match.local_affine import carry_locally
from asfound.core.match.pixels import Size, frac_from_px, px_from_frac
from asfound.model.pictures import Picture

LEAST_MATCHES = 12
"""Fewer agreeing matches than this lay nothing over anything."""

Points = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class PictureLink:
    """Matching points of two pictures, `here` and `there`, in pixels at matching size.

    Attributes
    ----------
    points_here, points_there : ndarray of shape (n, 2), float64
    homography : ndarray of shape (3, 3) or None
        From here to there; used where matches are far.
    """

    points_here: Points
    points_there: Points
    size_here: Size
    size_there: Size
    homography: Points | None

    def place_of(self, x_frac: float, y_frac: float) -> tuple[float, float, float] | None:
        """Where a point of the picture here lies in the one there.

        Returns
        -------
        (x_frac, y_frac, scale) or None
            In fractions of the picture there, and how many of its widths what fills one width here takes; None where
            nothing can be said.
        """
        wanted = px_from_frac([[x_frac, y_frac]], self.size_here)
        maps = carry_locally(
            self.points_here, self.points_there, wanted, self.size_here, homography=self.homography, neighbours=16
        )
        place = frac_from_px(maps.places_px, self.size_there)[0]
        larger = float(np.sqrt(abs(np.linalg.det(maps.linear[0]))))
        scale = larger * self.size_here[0] / self.size_there[0]
        if not np.isfinite(place).all() or not 0.1 < scale < 10:
            return None
        return float(place[0]), float(place[1]), scale

    def reversed(self) -> PictureLink:
        """The link from `there` back to `here`; without a homography where it cannot be inverted."""
        back = None
        if self.homography is not None and abs(np.linalg.det(self.homography)) > 1e-12:
            back = np.asarray(np.linalg.inv(self.homography), dtype=np.float64)
        return PictureLink(self.points_there, self.points_here, self.size_there, self.size_here, back)


def link_pictures(archive: Archive, here: Picture, there: Picture) -> PictureLink | None:
    """The link between two pictures, from the matches that the last sort wrote down; None when they share too little.

    Loads both pictures' features: some tens of milliseconds, more when the cache was deleted.
    """
    likeness = stored_likeness(archive, here, there)
    if likeness is None or likeness.agreeing < LEAST_MATCHES:
        return None
    a, b = (matching.load_features(archive.layout, views.source_of(archive, one)) for one in (here, there))
    agreeing = likeness.matches[likeness.agrees]
    return PictureLink(
        a.points_px[agreeing[:, 0]].astype(np.float64),
        b.points_px[agreeing[:, 1]].astype(np.float64),
        a.size_px,
        b.size_px,
        likeness.homography,
    )
