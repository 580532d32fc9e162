"""Rendered engine bays with ground truth, as the matching bench reads them; features and likenesses are kept.

A folder holds pictures and `manifest.json`. Positions in it are fractions of the picture as displayed.
"""

from __future__ import annotations

import hashlib
import inspect
import json
import math
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from PIL import ExifTags, Image, ImageOps
from pillow_heif import register_heif_opener

from asfound.core.match import (
    IN_USE,
    bundle,
    geometry,
    likeness,
    local_affine,
    motions,
    putative,
    reconstruct,
    resection,
    tracks,
    triangulate,
    verify,
)
from asfound.core.match.camera import focal_px_from_35mm
from asfound.core.match.features import Features, detect_features, pack_features, unpack_features
from asfound.core.match.likeness import Likeness, pack_likeness, unpack_likeness
from asfound.core.match.method import get_method
from asfound.core.match.scene import Scene, ScenePicture, build_scene, pack_scene, unpack_scene
from asfound.core.match.verify import verify_pair

register_heif_opener()

CACHE = Path(__file__).parents[2] / ".scratch" / "match" / "cache"


@dataclass(frozen=True)
class Truth:
    """One picture of the manifest; `picture_id` is its row."""

    picture_id: int
    file: str
    spot: str | None
    bay: str | None
    state: str
    shot: str
    taken_s: float
    size: tuple[int, int]
    entry: dict[str, Any]

    def connector(self, connector_id: str) -> dict[str, Any] | None:
        """The connector's sighting here, None when its anchor is out of the frame."""
        return next((c for c in self.entry["connectors"] if c["id"] == connector_id), None)

    def gap(self, x: float, y: float, c: dict[str, Any]) -> float:
        """Distance of a place from a sighting in fractions of the diagonal."""
        w, h = self.size
        return math.hypot((x - c["x"]) * w, (y - c["y"]) * h) / math.hypot(w, h)


def _remembered(method: Callable[..., Any]) -> Callable[..., Any]:
    """Keep a method's answers with its object."""

    def remembering(self: Any, *key: Any) -> Any:
        kept = self.__dict__.setdefault("_kept", {})
        if (method.__name__, key) not in kept:
            kept[method.__name__, key] = method(self, *key)
        return kept[method.__name__, key]

    return remembering


class BaySet:
    """One folder of pictures with truth, its features and likenesses computed once and kept on disk."""

    def __init__(self, folder: Path, method: str = IN_USE) -> None:
        self.folder, self.method = folder, method
        entries = json.loads((folder / "manifest.json").read_text())["images"]
        self.pictures = [
            Truth(
                k,
                e["file"],
                e["spot"],
                e["bay"],
                e["state"],
                e["shot"],
                datetime.fromisoformat(e["exif_time"]).timestamp(),
                (e["width"], e["height"]),
                e,
            )
            for k, e in enumerate(entries)
        ]
        self.photos = [p for p in self.pictures if p.state != "query"]
        self.queries = [p for p in self.pictures if p.state == "query"]
        settings = get_method(method).settings + inspect.getsource(inspect.getmodule(get_method(method).detect))
        verifying = "".join(inspect.getsource(m) for m in (geometry, likeness, local_affine, motions, putative, verify))
        self._features_key = _digest(settings)
        self._likeness_key = _digest(settings + verifying)

    @_remembered
    def gray(self, picture_id: int) -> np.ndarray:
        """The picture as displayed."""
        path = self.folder / self.pictures[picture_id].file
        gray = cv2.imread(str(path), cv2.IMREAD_GRAYSCALE)
        if gray is None:
            with Image.open(path) as image:
                gray = np.asarray(ImageOps.exif_transpose(image).convert("L"))
        return gray

    @_remembered
    def rgb(self, picture_id: int) -> np.ndarray:
        """The picture as displayed, in colours."""
        with Image.open(self.folder / self.pictures[picture_id].file) as image:
            return np.asarray(ImageOps.exif_transpose(image).convert("RGB"))

    @_remembered
    def features(self, picture_id: int) -> Features:
        """Features of a picture by the set's method."""
        name = f"{self.folder.name}-{self._features_key}/{picture_id}.features"
        packed = _kept(name, lambda: pack_features(detect_features(self.gray(picture_id), method=self.method)))
        return unpack_features(packed)

    @_remembered
    def likeness(self, first: int, second: int) -> Likeness:
        """Likeness of two pictures, first < second."""
        name = f"{self.folder.name}-{self._likeness_key}/{first}-{second}.likeness"
        return unpack_likeness(
            _kept(name, lambda: pack_likeness(verify_pair(self.features(first), self.features(second))))
        )

    def likenesses(self, ids: list[int]) -> dict[tuple[int, int], Likeness]:
        """Every pair of `ids`."""
        return {(a, b): self.likeness(a, b) for a in ids for b in ids if a < b}

    @_remembered
    def scene_picture(self, picture_id: int) -> ScenePicture:
        """The picture as scenes and carrying take it; focal length from Exif."""
        truth, features = self.pictures[picture_id], self.features(picture_id)
        with Image.open(self.folder / truth.file) as image:
            lens = image.getexif().get_ifd(ExifTags.IFD.Exif).get(ExifTags.Base.FocalLengthIn35mmFilm)
        return ScenePicture(picture_id, features, focal_px_from_35mm(lens, features.size_px), truth.taken_s)

    @_remembered
    def scene(self, ids: tuple[int, ...]) -> Scene:
        """The scene of some pictures."""
        modules = (reconstruct, resection, bundle, tracks, triangulate)
        key = _digest(self._likeness_key + "".join(inspect.getsource(m) for m in modules))
        name = f"{self.folder.name}-{key}/{_digest(repr(ids))}.scene"
        pictures = [self.scene_picture(i) for i in ids]
        return unpack_scene(_kept(name, lambda: pack_scene(build_scene(pictures, self.likenesses(list(ids)), seed=1))))


def _digest(text: str) -> str:
    return hashlib.sha1(text.encode()).hexdigest()[:10]


def _kept(name: str, make: Callable[[], bytes]) -> bytes:
    path = CACHE / name
    if path.exists():
        return path.read_bytes()
    made = make()
    path.parent.mkdir(parents=True, exist_ok=True)
    path.with_suffix(".tmp").write_bytes(made)
    path.with_suffix(".tmp").replace(path)
    return made
