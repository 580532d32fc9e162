"""Pictures and worlds with known geometry for the tests of matching."""

from __future__ import annotations

import cv2
import numpy as np

from asfound.core.match import IN_USE
from asfound.core.match.camera import PinholeCamera, focal_px_from_35mm
from asfound.core.match.features import Features, detect_features
from asfound.core.match.query_photo import QueryPhoto
from asfound.core.match.scene_model import ScenePicture


def textured(seed: int = 0, size: tuple[int, int] = (640, 480)) -> np.ndarray:
    """A gray picture of random shapes at several sizes, full of corners."""
    rng = np.random.default_rng(seed)
    width, height = size
    gray = np.full((height, width), 110, np.uint8)
    for _ in range(260):
        x, y = rng.integers(0, width), rng.integers(0, height)
        w, h = rng.integers(5, 60, 2)
        angle, value = rng.uniform(0, 180), int(rng.integers(0, 256))
        corners = cv2.boxPoints(((float(x), float(y)), (float(w), float(h)), angle)).astype(np.int32)
        cv2.fillPoly(gray, [corners], value)
    noise = rng.normal(0, 4, gray.shape)
    return np.clip(gray + noise, 0, 255).astype(np.uint8)


def warped(gray: np.ndarray, homography: np.ndarray) -> np.ndarray:
    """The picture seen through a homography, at the same size."""
    return cv2.warpPerspective(gray, homography, (gray.shape[1], gray.shape[0]), borderMode=cv2.BORDER_REFLECT)


def shown(picture_id: int, gray: np.ndarray) -> ScenePicture:
    """A picture with its features, of a camera that says nothing of its lens."""
    features = detect_features(gray)
    return ScenePicture(picture_id, features, focal_px_from_35mm(None, features.size_px))


def asked(gray: np.ndarray) -> QueryPhoto:
    """A photo that is asked about, of a camera that says nothing of its lens."""
    return QueryPhoto(gray, focal_px_from_35mm(None, (gray.shape[1], gray.shape[0])))


def ribs() -> np.ndarray:
    """A cover with forty equal ribs, as on an air filter or a heat sink."""
    gray = np.full((480, 800), 90, np.uint8)
    gray[:, ::20] = gray[:, 1::20] = gray[:, 2::20] = 200
    gray[::120] = 30
    return gray


def by_flash(gray: np.ndarray) -> np.ndarray:
    """The picture at night by flash: bright in the middle, falling off, nearly black outside."""
    y, x = np.mgrid[: gray.shape[0], : gray.shape[1]]
    far = (x - gray.shape[1] / 2) ** 2 + (y - gray.shape[0] / 2) ** 2
    return np.clip(gray * 1.2 / (1 + far / 150**2) ** 2, 0, 255).astype(np.uint8)


class World:
    """Random points in space with a descriptor each, seen by cameras on an arc: truth for poses and pins."""

    def __init__(self, count: int = 400, seed: int = 0) -> None:
        rng = np.random.default_rng(seed)
        self.points = rng.uniform([-1.2, -0.9, -0.7], [1.2, 0.9, 0.7], (count, 3))
        self.descriptors = rng.integers(0, 90, (count, 128)).astype(np.uint8)
        self.size = (1000, 800)
        self.focal = 800.0
        self.rng = rng

    def camera(self, degrees: float) -> PinholeCamera:
        """A camera 4 units away, turned about the vertical."""
        angle = np.radians(degrees)
        rotation = np.array([[np.cos(angle), 0, np.sin(angle)], [0, 1, 0], [-np.sin(angle), 0, np.cos(angle)]])
        return PinholeCamera(rotation, np.array([0.05 * degrees / 10, 0.0, 4.0]), self.focal, self.size)

    def project(self, points: np.ndarray, degrees: float) -> np.ndarray:
        """Pixels of points (n, 3) in the camera at `degrees`, as OpenCV projects them."""
        camera, (width, height) = self.camera(degrees), self.size
        inner = np.array([[self.focal, 0, (width - 1) / 2], [0, self.focal, (height - 1) / 2], [0, 0, 1]])
        turn = cv2.Rodrigues(camera.rotation)[0]
        return cv2.projectPoints(points, turn, camera.translation, inner, None)[0].reshape(-1, 2)

    def features(self, degrees: float, noise_px: float = 0.3, keep: np.ndarray | None = None) -> Features:
        """What a detector would find: every point once, with a little noise, in an order of its own."""
        index = np.arange(len(self.points)) if keep is None else np.flatnonzero(keep)
        index = self.rng.permutation(index)
        places = self.project(self.points[index], degrees)
        places = places + self.rng.normal(0, noise_px, places.shape)
        descriptors = self.descriptors[index].astype(int) + self.rng.integers(-4, 5, (len(index), 128))
        return Features(
            IN_USE,
            self.size,
            places.astype(np.float32),
            np.full(len(index), 6.0, np.float32),
            np.zeros(len(index), np.float32),
            np.clip(descriptors, 0, 255).astype(np.uint8),
        )
