"""What a plain program would do with two pictures, to be measured beside the project's own way."""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from bays import BaySet, Truth

from asfound.core.match.carry import CarriedPin, HandPin


class OneHomography:
    """Carries by one homography between two pictures: ORB or SIFT, ratio test, RANSAC; as a plain program would."""

    def __init__(self, bay: BaySet, kind: str) -> None:
        self.bay = bay
        self.detector = cv2.ORB.create(4096) if kind == "orb" else cv2.SIFT.create(4096)
        self.matcher = cv2.BFMatcher(cv2.NORM_HAMMING if kind == "orb" else cv2.NORM_L2)
        self.found: dict[int, Any] = {}
        self.compared: dict[tuple[int, int], tuple[np.ndarray | None, int]] = {}

    def features(self, i: int) -> Any:
        """Places (n, 2) and descriptors of a picture."""
        if i not in self.found:
            points, descriptors = self.detector.detectAndCompute(self.bay.gray(i), None)
            self.found[i] = np.array([p.pt for p in points], np.float32), descriptors
        return self.found[i]

    def compare(self, a: int, b: int) -> tuple[np.ndarray | None, int]:
        """The homography from a to b and how many places in b it explains; None and 0 where there is none."""
        if (a, b) not in self.compared:
            (points_a, first), (points_b, second) = self.features(a), self.features(b)
            matches = self.matcher.knnMatch(first, second, 2)
            good = [m[0] for m in matches if len(m) == 2 and m[0].distance < 0.8 * m[1].distance]
            matrix, inliers = None, 0
            if len(good) >= 8:
                cv2.setRNGSeed(1)
                here, there = points_a[[m.queryIdx for m in good]], points_b[[m.trainIdx for m in good]]
                matrix, mask = cv2.findHomography(here, there, cv2.RANSAC, 5)
                # A homography that shrinks a picture to a point explains any number of matches with that point.
                inliers = 0 if matrix is None else len(np.unique(there[mask.ravel() > 0], axis=0))
            self.compared[a, b] = matrix, inliers
        return self.compared[a, b]

    def carry(self, connector_id: str, home: Truth, pin: HandPin) -> list[CarriedPin]:
        """The pin on the other pictures of its spot, where it lies in the frame."""
        out = []
        for p in self.bay.photos:
            if p.spot != home.spot or p is home:
                continue
            matrix = self.compare(home.picture_id, p.picture_id)[0]
            if matrix is not None:
                x, y, w = matrix @ [pin.x_frac * home.size[0], pin.y_frac * home.size[1], 1]
                place = x / w / p.size[0], y / w / p.size[1]
                if 0 <= min(place) and max(place) <= 1:
                    out.append(CarriedPin(pin.key, p.picture_id, *place, None, None, 1.0, True, "near"))
        return out
