"""One short vector per picture, so that a place is found among a hundred thousand pictures in a blink.

VLAD (Jegou, Douze, Schmid, Perez, CVPR 2010) with 128 words, residual and intra normalisation (Delhumeau
et al., ACM MM 2013; Arandjelovic and Zisserman, CVPR 2013), signed square root, reduced to 256 numbers by a PCA with
half whitening. The vocabulary ships with the package; `tests/bench/train_places.py` trained it on rendered bays.
"""

from __future__ import annotations

import functools
import io
from dataclasses import dataclass
from importlib import resources

import numpy as np

from asfound.core.match import IN_USE
from asfound.core.match.arrays import Float32Array, unit_rows
from asfound.core.match.features import Features, normalised_descriptors

PLACE_SIZE = 256
"""Numbers of a place vector, as the vocabulary was trained."""


@dataclass(frozen=True, eq=False)
class PlaceVocabulary:
    """The trained tables.

    Attributes
    ----------
    mean, axes : ndarray of shape (d,) and (d, p), float32
        Reduce a unit descriptor to p numbers.
    words : ndarray of shape (k, p), float32
    vlad_mean, vlad_axes : ndarray of shape (k * p,) and (k * p, 256), float32
    """

    mean: Float32Array
    axes: Float32Array
    words: Float32Array
    vlad_mean: Float32Array
    vlad_axes: Float32Array


@functools.cache
def load_vocabulary() -> PlaceVocabulary:
    """The vocabulary that ships with the package."""
    packed = resources.files("asfound.core.match.data").joinpath("places.npz").read_bytes()
    with np.load(io.BytesIO(packed), allow_pickle=False) as stored:
        tables = {name: stored[name].astype(np.float32) for name in stored.files}
    tables["vlad_axes"] = tables["vlad_axes"] * tables.pop("vlad_scale")
    return PlaceVocabulary(**tables)


def sum_residuals(reduced: Float32Array, words: Float32Array) -> Float32Array:
    """VLAD before normalisation: for each word the sum of unit residuals of the descriptors nearest to it, (k, p)."""
    sums = np.zeros(words.shape, np.float32)
    if len(reduced):
        nearest = (reduced @ words.T * 2 - (words * words).sum(axis=1)).argmax(axis=1)
        np.add.at(sums, nearest, unit_rows(reduced - words[nearest]))
    return sums


def describe_vlad(unit_descriptors: Float32Array, vocabulary: PlaceVocabulary) -> Float32Array:
    """The whole VLAD vector, shape (k * p,), unit length; zeros without descriptors."""
    reduced = np.asarray((unit_descriptors - vocabulary.mean) @ vocabulary.axes, dtype=np.float32)
    intra = unit_rows(sum_residuals(reduced, vocabulary.words)).ravel()
    return unit_rows(np.asarray(np.sign(intra) * np.sqrt(np.abs(intra)), dtype=np.float32))


def describe_place(features: Features) -> Float32Array:
    """A picture's place vector, shape (256,), float32, unit length; zeros for a picture without keypoints.

    Only features of the method in use have a vocabulary; ValueError for others.
    """
    if features.method != IN_USE:
        raise ValueError(f"no place vocabulary for features of {features.method}")
    if not len(features):
        return np.zeros(PLACE_SIZE, np.float32)
    vocabulary = load_vocabulary()
    vlad = describe_vlad(normalised_descriptors(features), vocabulary)
    return unit_rows(np.asarray((vlad - vocabulary.vlad_mean) @ vocabulary.vlad_axes, dtype=np.float32))


def rank_places(query: Float32Array, vectors: Float32Array) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
    """Indices of `vectors` (n, 256), any float type, most like `query` (256,) first; ties in order of index."""
    if not len(vectors):
        return np.zeros(0, np.int64)
    likeness = np.asarray(vectors, dtype=np.float32) @ query
    return np.argsort(-likeness, kind="stable")
