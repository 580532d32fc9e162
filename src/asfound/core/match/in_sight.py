"""Whether a carried pin's point is in sight of the picture it was carried to, or something nearer hides it: a hint.

Hidden takes two signs together: the picture does not show the pin's patch at the place, though another does; and a
plane sweep from the picture itself finds what it shows there in another picture, nearer to the camera than the pin.
What stands right at the pin in the pin's own picture too is the joint's own surface, and hides nothing.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from asfound.core.match.arrays import BoolArray, Float32Array, FloatArray
from asfound.core.match.camera import PinholeCamera
from asfound.core.match.pin_depth import PinDepth, estimate_depth
from asfound.core.match.scene_model import Scene

# Chosen on rendered bays with truth, docs/decisions/0037; docs/measured.md has the counts on bays that were held back.
THERE = 0.5
"""Patch likeness from which the picture shows the pin's own patch."""
MISSING, KNOWN = 0.15, 0.5
"""Patch likeness below which it does not, where another picture reaches `KNOWN`."""
NEARER = 0.94
"""Depth, as a share of the pin's, below which something stands before it."""
ASIDE = 0.01
"""How far from the pin it must lie in the pin's own picture, in fractions of the diagonal."""
BELIEVED, LIKE_IT = 0.8, 0.55
"""Posterior of nearer depths, and patch likeness in another picture, from which the sweep is believed."""


def is_hidden(
    scene: Scene, source: int, target: int, pin_px: FloatArray, depth: PinDepth, images: Mapping[int, Float32Array]
) -> bool | None:
    """Whether a pin of picture `source` is hidden in picture `target`.

    Parameters
    ----------
    scene : Scene
    source, target : int
        Rows of the scene.
    pin_px : ndarray of shape (2,), float64
        In picture `source`.
    depth : PinDepth
        Of the pin, along its ray.
    images : mapping of row to ndarray of shape (h, w), float32
        Light-normalised pictures, as for `estimate_depth`.

    Returns
    -------
    bool or None
        False where the picture shows the patch, True where something nearer stands before it, None where neither can
        be told.
    """
    here = depth.scores.get(target)
    if here is None:
        return None
    if here[depth.best] >= THERE:
        return False
    others = [likeness[depth.best] for row, likeness in depth.scores.items() if row != target]
    if here[depth.best] > MISSING or max(others, default=-1.0) < KNOWN:
        return None
    camera, own = scene.camera(target), scene.camera(source)
    point = own.lift(pin_px[None], depth.depths[[depth.best]])[0]
    place = camera.project(point)[0]
    swept = estimate_depth(scene, target, place, images)
    if swept is None or not swept.scores:
        return None
    before = _is_before(camera, own, point, camera.lift(place[None], swept.depths)[:, 0])
    likeness = max(float(likeness[swept.best]) for likeness in swept.scores.values())
    return True if before[swept.best] and swept.posterior[before].sum() > BELIEVED and likeness > LIKE_IT else None


def _is_before(camera: PinholeCamera, own: PinholeCamera, pin: FloatArray, points: FloatArray) -> BoolArray:
    """Which points (n, 3) are nearer to `camera` than the pin (1, 3), and aside of it in the pin's `own` picture."""
    aside = np.linalg.norm(own.project(points) - own.project(pin), axis=1)
    aside = np.nan_to_num(aside, nan=np.inf) > ASIDE * own.diagonal_px
    return np.asarray((camera.depths(points) < NEARER * camera.depths(pin)[0]) & aside)
