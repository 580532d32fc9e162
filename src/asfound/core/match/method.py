"""The seam for ways to describe a picture: one module in `methods/` per way, found by being there."""

from __future__ import annotations

import functools
import importlib
import pkgutil
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from asfound.core.match.arrays import Float32Array, GrayImage


@dataclass(frozen=True)
class Keypoints:
    """What a method finds in a reduced picture, strongest first.

    Attributes
    ----------
    points_px : ndarray of shape (n, 2), float32
    scales : ndarray of shape (n,), float32
        Diameter of the described region in pixels.
    angles : ndarray of shape (n,), float32
        Degrees, clockwise on screen, 0 to 360.
    descriptors : ndarray of shape (n, d), uint8
        `d` is the method's own; compared after `MatchMethod.normalise`.
    """

    points_px: Float32Array
    scales: Float32Array
    angles: Float32Array
    descriptors: NDArray[np.uint8]


@dataclass(frozen=True)
class MatchMethod:
    """A way to find and describe keypoints.

    Attributes
    ----------
    name : str
        As given to `detect_features` and stored with the features.
    settings : str
        Everything that changes the result; features of other settings are recomputed.
    longest_px : int
        Pictures are reduced to this longest side first.
    descriptor_size : int
        Numbers per descriptor.
    detect : callable
        Takes the reduced gray picture, shape (h, w), uint8.
    normalise : callable
        Takes descriptors (n, d) uint8 to unit vectors (n, d) float32, whose dot product is the likeness.
    """

    name: str
    settings: str
    longest_px: int
    descriptor_size: int
    detect: Callable[[GrayImage], Keypoints]
    normalise: Callable[[NDArray[np.uint8]], Float32Array]


@functools.cache
def find_methods() -> dict[str, MatchMethod]:
    """Every `METHOD` of the modules in `methods/`, by name, in the order of the names."""
    package = importlib.import_module("asfound.core.match.methods")
    modules = [importlib.import_module(f"{package.__name__}.{m.name}") for m in pkgutil.iter_modules(package.__path__)]
    methods: list[MatchMethod] = [module.METHOD for module in modules if hasattr(module, "METHOD")]
    return {method.name: method for method in sorted(methods, key=lambda m: m.name)}


def get_method(name: str) -> MatchMethod:
    """The method called `name`; ValueError names the known ones."""
    methods = find_methods()
    if name not in methods:
        raise ValueError(f"no matching method {name!r}; known: {', '.join(methods)}")
    return methods[name]
