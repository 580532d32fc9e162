"""Pictures whose geometry is known, and which of their keypoints show one point: what descriptors are trained on.

A folder of rendered pictures with `manifest.json` and, for each NAME.jpg, NAME.depth.npz: key `z`, depth along the
camera's axis in units of `camera_to_world` at a quarter of the picture's size. Or one photograph, warped as a plane.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from PIL import Image, ImageOps

from asfound.core.match.method import Keypoints
from asfound.core.match.patch_sampling import sample_patches
from asfound.core.match.pixels import Size, frac_from_px, px_from_frac, reduce_gray
from asfound.core.match.sift import detect_sift, even_light

SIZES = ((1024, 4096), (640, 2500), (448, 1500))
"""Longest side of a rendered picture in pixels, and the most keypoints at that size."""
SHRUNK = 4
BEYOND = 50.0
"""Depths from here on are background."""
WARPS, WARPED_KEYPOINTS, PHOTO_PX = 9, 3000, 1400
FEWEST_KEYPOINTS, FEWEST_MATCHES = 20, 25
MOST_TRIED = 3000
REACH_PX, REACH_OF_SCALE = 1.8, 0.05
OCTAVES, TURN_DEG, DEPTH_OFF = 0.55, 28.0, 0.015


@dataclass(frozen=True, eq=False)
class View:
    """One picture at one size.

    Attributes
    ----------
    picture, look : str
        Which picture it is; what was taken in the same state under the same light looks alike.
    reduced : float
        Its size over that of the whole picture, which all pixels below are pixels of.
    projection : ndarray of shape (3, 4), float64
        From points of the scene to homogeneous pixels; the third number is their depth.
    size_px : tuple of int
    focal_px : float or None
    depth : ndarray of shape (h / SHRUNK, w / SHRUNK), float32, or None
        None, as the focal length, where the scene is a plane.
    keypoints : Keypoints
    patches : ndarray of shape (n, 2, 32, 32), uint8
    points : ndarray of shape (n, 3), float32
        Where in the scene the keypoints lie.
    known : ndarray of shape (n,), bool
        Whether they lie on something.
    """

    picture: str
    look: str
    reduced: float
    projection: np.ndarray
    size_px: Size
    focal_px: float | None
    depth: np.ndarray | None
    keypoints: Keypoints
    patches: np.ndarray
    points: np.ndarray
    known: np.ndarray


@dataclass(frozen=True, eq=False)
class Pair:
    """Two views by their rows, keypoints that show one point, shape (n, 2), and how much the pair counts."""

    first: int
    second: int
    matches: np.ndarray
    weight: float


def describe(gray: np.ndarray, most: int) -> tuple[Keypoints, np.ndarray] | None:
    """The `most` strongest keypoints of a picture and their patches; None where there are too few."""
    even = even_light(gray)
    found = detect_sift(even)
    if len(found.points_px) < FEWEST_KEYPOINTS:
        return None
    strongest = Keypoints(found.points_px[:most], found.scales[:most], found.angles[:most], found.descriptors[:most])
    return strongest, sample_patches(even, strongest.points_px, strongest.scales, strongest.angles)


def views_of_bay(folder: Path) -> list[View]:
    """Every picture of a rendered folder that shows the bay, at all `SIZES`."""
    views = []
    for entry in json.loads((folder / "manifest.json").read_text())["images"]:
        depth_path = (folder / entry["file"]).with_suffix(".depth.npz")
        if entry["bay"] is None or entry["shot"] == "unrelated" or not depth_path.exists():
            continue
        with Image.open(folder / entry["file"]) as image:
            gray = np.asarray(ImageOps.exif_transpose(image).convert("L"))
        depth = np.load(depth_path)["z"].astype(np.float32)
        for longest, most in SIZES:
            described = describe(reduced := reduce_gray(gray, longest), most)
            if described is not None:
                views.append(_rendered(entry, depth, *described, reduced.shape[::-1], gray.shape[::-1]))
    return views


def _rendered(
    entry: dict[str, Any], depth: np.ndarray, found: Keypoints, patches: np.ndarray, reduced_px: Size, size_px: Size
) -> View:
    width, height = size_px
    points_px = px_from_frac(frac_from_px(found.points_px, reduced_px), size_px)
    z = depth[_cells(points_px, depth)].astype(np.float64)
    focal = entry["focal_px"]
    pose = np.array(entry["camera_to_world"], np.float64)
    # The manifest's cameras look along minus z with y up; pictures have y down and z ahead.
    turn, centre = pose[:, :3] @ np.diag([1.0, -1.0, -1.0]), pose[:, 3]
    inner = np.array([[focal, 0, (width - 1) / 2], [0, focal, (height - 1) / 2], [0, 0, 1]])
    rays = np.linalg.solve(inner, np.column_stack([points_px, np.ones(len(points_px))]).T)
    return View(
        picture=entry["file"],
        look=f"{entry['state']} {entry['light']}",
        reduced=reduced_px[0] / width,
        projection=inner @ np.column_stack([turn.T, -turn.T @ centre]),
        size_px=size_px,
        focal_px=focal,
        depth=depth,
        keypoints=Keypoints(
            points_px.astype(np.float32),
            found.scales * np.float32(width / reduced_px[0]),
            found.angles,
            found.descriptors,
        ),
        patches=patches,
        points=(turn @ (rays * z) + centre[:, None]).T.astype(np.float32),
        known=z < BEYOND,
    )


def views_of_photo(path: Path, seed: int) -> list[View]:
    """A photograph looked at from `WARPS` sides under other light, blurred, noisy, kept as JPEG."""
    rng = np.random.default_rng(seed)
    with Image.open(path) as image:
        whole = np.asarray(image.convert("L"))
    scale = PHOTO_PX / max(whole.shape)
    plane = np.asarray(cv2.resize(whole, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA))
    high, wide = plane.shape
    views = []
    for k in range(WARPS):
        size_px = (1024, 768) if rng.random() < 0.7 else (768, 1024)
        warp = _random_warp(rng, (wide, high), size_px)
        gray = _relight(rng, cv2.warpPerspective(plane, warp, size_px, flags=cv2.INTER_LINEAR))
        described = describe(gray, WARPED_KEYPOINTS)
        if described is None:
            continue
        found, patches = described
        back = np.linalg.solve(warp, np.column_stack([found.points_px, np.ones(len(found.points_px))]).T)
        points = (back / back[2]).T
        inside = ((points[:, :2] > 4) & (points[:, :2] < np.array([wide, high]) - 5)).all(axis=1)
        views.append(
            View(
                picture=f"{path.name} {k}",
                look=path.name,
                reduced=1.0,
                projection=np.column_stack([warp, np.zeros(3)]),
                size_px=size_px,
                focal_px=None,
                depth=None,
                keypoints=found,
                patches=patches,
                points=points.astype(np.float32),
                known=inside,
            )
        )
    return views


def _random_warp(rng: np.random.Generator, plane_px: Size, size_px: Size) -> np.ndarray:
    """A homography, shape (3, 3): a camera of 1000 pixels' focal length before the tilted plane."""
    zoom = np.exp(rng.uniform(np.log(0.7), np.log(2.2)))
    roll = np.deg2rad(rng.normal(0, 18))
    yaw, pitch = np.deg2rad(rng.uniform(-38, 38)), np.deg2rad(rng.uniform(-30, 30))
    about = np.array(plane_px) * rng.uniform(0.35, 0.65, 2)
    turn = np.eye(3)
    # About z, x, y.
    for (a, b), angle in (((0, 1), roll), ((1, 2), pitch), ((2, 0), yaw)):
        once = np.eye(3)
        once[[a, b], [a, b]] = np.cos(angle)
        once[a, b], once[b, a] = -np.sin(angle), np.sin(angle)
        turn = turn @ once
    inner = np.array([[1000.0, 0, (size_px[0] - 1) / 2], [0, 1000.0, (size_px[1] - 1) / 2], [0, 0, 1]])
    outer = np.column_stack([turn[:, 0], turn[:, 1], [0, 0, 1000.0 / zoom]])
    return inner @ outer @ np.array([[1, 0, -about[0]], [0, 1, -about[1]], [0, 0, 1.0]])


def _relight(rng: np.random.Generator, gray: np.ndarray) -> np.ndarray:
    high, wide = gray.shape
    x = (gray.astype(np.float32) / 255) ** np.exp(rng.uniform(-0.6, 0.6))
    down, right = np.mgrid[0:high, 0:wide]
    lamp_x, lamp_y = rng.uniform(0, wide), rng.uniform(0, high)
    if rng.random() < 0.6:
        wash, spread = rng.uniform(0.15, 0.6), rng.uniform(0.2, 0.6) * wide
        x = x * (wash + np.exp(-((right - lamp_x) ** 2 + (down - lamp_y) ** 2) / (2 * spread**2)))
    x = x * rng.uniform(0.6, 1.2) + rng.uniform(-0.05, 0.05)
    if rng.random() < 0.5:
        x = cv2.GaussianBlur(x, (0, 0), rng.uniform(0.4, 1.3))
    x = x + rng.normal(0, rng.uniform(0.004, 0.03), x.shape)
    _, packed = cv2.imencode(".jpg", (np.clip(x, 0, 1) * 255 + 0.5).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, 85])
    return np.asarray(cv2.imdecode(packed, cv2.IMREAD_GRAYSCALE))


def correspond(a: View, b: View) -> np.ndarray:
    """Keypoints of a and b that show one point, of like size and turn: rows, shape (n, 2), each keypoint once."""
    none = np.zeros((0, 2), np.int32)
    shown = np.column_stack([a.points.astype(np.float64), np.ones(len(a.points))])
    projected = shown @ b.projection.T
    ahead = projected[:, 2]
    seen_px = projected[:, :2] / np.where(np.abs(ahead) > 1e-9, ahead, 1e-9)[:, None]
    fits = a.known & (ahead > 0) & ((seen_px > -0.5) & (seen_px < np.array(b.size_px) - 0.5)).all(axis=1)
    if b.depth is not None:
        fits &= np.abs(b.depth[_cells(seen_px, b.depth)] - ahead) < DEPTH_OFF * ahead
    rows = np.flatnonzero(fits)
    if len(rows) < FEWEST_KEYPOINTS:
        return none
    x, y = seen_px[rows].astype(np.float32).T[:, :, None]
    away = np.hypot(x - b.keypoints.points_px[:, 0], y - b.keypoints.points_px[:, 1])
    reach = (REACH_PX / b.reduced + REACH_OF_SCALE * b.keypoints.scales).astype(np.float32)
    octaves = np.log2(b.keypoints.scales) - np.log2(a.keypoints.scales[rows])[:, None]
    if a.focal_px is not None and b.focal_px is not None:
        # How a surface that faces both would grow; of a plane aslant nothing is asked.
        growth = (shown[rows] @ a.projection[2]) / ahead[rows] * (b.focal_px / a.focal_px)
        octaves -= np.log2(growth).astype(np.float32)[:, None]
        near = (away < reach) & (np.abs(octaves) < OCTAVES)
    else:
        near = away < reach
    cost = np.where(near, away / reach + (octaves / 0.75) ** 2, np.float32(np.inf))
    likest = cost.argmin(axis=1)
    at = np.arange(len(rows))
    mutual = np.isfinite(cost[at, likest]) & (cost.argmin(axis=0)[likest] == at)
    first, second = rows[mutual], likest[mutual]
    if len(first) < FEWEST_KEYPOINTS:
        return none
    turned = np.deg2rad(b.keypoints.angles[second] - a.keypoints.angles[first])
    turned -= math.atan2(np.median(np.sin(turned)), np.median(np.cos(turned)))
    alike = np.abs(np.arctan2(np.sin(turned), np.cos(turned))) < math.radians(TURN_DEG)
    return np.column_stack([first[alike], second[alike]]).astype(np.int32)


def _cells(points_px: np.ndarray, depth: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Rows and columns of a depth map for pixels (n, 2), held inside it."""
    inside = np.nan_to_num((points_px + 0.5) / SHRUNK).clip(0, np.array(depth.shape[::-1]) - 1).astype(int)
    return inside[:, 1], inside[:, 0]


def choose_pairs(views: list[View], rng: np.random.Generator) -> list[Pair]:
    """Pairs of different pictures, one of them at its full size, that share enough; of `MOST_TRIED` drawn by chance."""
    pairs = []
    tried = [
        (i, j)
        for i, a in enumerate(views)
        for j, b in enumerate(views)
        if a.picture != b.picture and (a.reduced == 1 or b.reduced == 1)
    ]
    rng.shuffle(tried)
    for i, j in tried[:MOST_TRIED]:
        matches = correspond(views[i], views[j])
        if len(matches) >= FEWEST_MATCHES:
            # What looks the same teaches little, what shares little teaches what chance has matched.
            same = views[i].look == views[j].look and len(matches) > 1500
            pairs.append(Pair(i, j, matches, (0.25 if same else 1.0) * min(1.0, len(matches) / 120)))
    return pairs
