"""The small 3-D model of a spot, or of a whole bay: where each picture was taken from and sparse points."""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence

import numpy as np

from asfound.core.match.likeness import Likeness
from asfound.core.match.reconstruct import reconstruct
from asfound.core.match.scene_model import Scene, ScenePicture, empty_scene

__all__ = ["Scene", "ScenePicture", "build_scene", "empty_scene", "pack_scene", "unpack_scene"]


def build_scene(
    pictures: Sequence[ScenePicture], likenesses: Mapping[tuple[int, int], Likeness], *, seed: int = 1
) -> Scene:
    """Build the model of the pictures that can be placed; empty when no two give depth.

    Parameters
    ----------
    pictures : sequence of ScenePicture
    likenesses : mapping of (picture_id, picture_id) to Likeness
        Either order of ids (the likeness is from the first to the second).
    seed : int
        Of the robust estimates.
    """
    return reconstruct(pictures, likenesses, seed=seed)


_FIELDS = ("picture_ids", "rotations", "translations", "focals_px", "sizes_px", "support", "points", "sightings")


def pack_scene(scene: Scene) -> bytes:
    """A scene as bytes (a NumPy .npz)."""
    target = io.BytesIO()
    np.savez_compressed(target, allow_pickle=False, **{name: getattr(scene, name) for name in _FIELDS})
    return target.getvalue()


def unpack_scene(packed: bytes) -> Scene:
    """The inverse of `pack_scene`; ValueError for other bytes."""
    try:
        with np.load(io.BytesIO(packed), allow_pickle=False) as stored:
            return Scene(*(stored[name] for name in _FIELDS))
    except (OSError, KeyError, ValueError) as error:
        raise ValueError(f"scene cannot be read: {error}") from error
