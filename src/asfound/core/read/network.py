"""The small reader of tape numbers that ships with the package: a convolutional network run by numpy.

It was trained on drawn numbers alone (printed in many faces, and by a shaken pen) beside places of rendered engine bays
that hold no number; `tests/bench/train_numbers.py` makes it again. It reads up to three digits that stand upright in
the middle of a crop, and says nothing where there is no number, where letters stand beside the digits, or where the
number lies on its side or on its head.

References
----------
Graves, Fernandez, Gomez and Schmidhuber, Connectionist Temporal Classification, ICML 2006: the loss, and the sum over
all alignments that gives a whole number its probability here.
"""

from __future__ import annotations

import functools
import io
from collections.abc import Sequence
from importlib import resources

import numpy as np
from numpy.typing import NDArray

from asfound.core.read.engine import CROP_HIGH_PX, CROP_WIDE_PX, Recognised, RgbArray

Float32Array = NDArray[np.float32]

_BATCH = 4
_POOLS = ((2, 2), (1, 1), (2, 2), (1, 1), (2, 1), (2, 1))


class NetworkEngine:
    """Reads crops with the package's own network; needs no further library."""

    name = "own"

    def recognise(self, crops_rgb: Sequence[RgbArray]) -> list[Recognised]:
        """Read each crop; "" where it holds no number that stands upright. See `NumberEngine`."""
        answers: list[Recognised] = []
        for start in range(0, len(crops_rgb), _BATCH):
            batch = np.stack([_gray(crop) for crop in crops_rgb[start : start + _BATCH]])
            answers.extend(_decode(columns) for columns in column_probabilities(batch))
        return answers


def column_probabilities(crops_gray: Float32Array) -> Float32Array:
    """Probability of nothing and of each digit at each column.

    Parameters
    ----------
    crops_gray : ndarray of shape (n, 32, 96), float32
        Brightness, any scale.

    Returns
    -------
    ndarray of shape (n, 24, 11), float32
        Column 0 is "nothing"; 1 to 10 are the digits 0 to 9. Rows sum to one.
    """
    weights = _weights()
    mean = crops_gray.mean((1, 2), keepdims=True)
    spread = crops_gray.std((1, 2), keepdims=True)
    x = ((crops_gray - mean) / (spread + 4))[..., None].astype(np.float32)
    for layer, pool in enumerate(_POOLS):
        x = np.maximum(_convolve(x, *weights[layer], (1, 1)), 0)
        x = _pool(x, pool)
    x = np.maximum(_convolve(x, *weights[6], (0, 2)), 0)
    scores = _convolve(x, *weights[7], (0, 0))[:, 0]
    scores -= scores.max(-1, keepdims=True)
    odds = np.exp(scores)
    return np.asarray(odds / odds.sum(-1, keepdims=True), np.float32)


def number_probability(columns: Float32Array, number: str) -> float:
    """Probability that the columns spell `number`, over all its alignments.

    Parameters
    ----------
    columns : ndarray of shape (t, 11), float32
    number : str
        Digits only; "" asks for the probability of nothing.
    """
    labels = [0]
    for digit in number:
        labels += [int(digit) + 1, 0]
    seen = columns[:, labels].astype(np.float64)
    skips = np.zeros(len(labels), bool)
    skips[2:] = [labels[at] != 0 and labels[at] != labels[at - 2] for at in range(2, len(labels))]
    ways = np.zeros(len(labels))
    ways[:2] = seen[0, :2]
    for row in seen[1:]:
        stepped = ways.copy()
        stepped[1:] += ways[:-1]
        stepped[2:] += np.where(skips[2:], ways[:-2], 0)
        ways = stepped * row
    return float(ways[-2:].sum())


def _decode(columns: Float32Array) -> Recognised:
    best = columns.argmax(1)
    kept = best[(best != 0) & (best != np.concatenate([[0], best[:-1]]))]
    text = "".join(str(label - 1) for label in kept)
    return Recognised(text, number_probability(columns, text) if text else 0.0)


def _gray(crop_rgb: RgbArray) -> Float32Array:
    if crop_rgb.shape[:2] != (CROP_HIGH_PX, CROP_WIDE_PX):
        raise ValueError(f"a crop is {CROP_HIGH_PX} by {CROP_WIDE_PX} pixels, not {crop_rgb.shape[:2]}")
    return crop_rgb.astype(np.float32) @ np.array([0.299, 0.587, 0.114], np.float32)


def _convolve(x: Float32Array, kernel: Float32Array, bias: Float32Array, pad: tuple[int, int]) -> Float32Array:
    """Convolve (n, h, w, c) with (kh, kw, c, o), as one product of matrices."""
    high, wide, channels, out = kernel.shape
    x = np.pad(x, ((0, 0), (pad[0], pad[0]), (pad[1], pad[1]), (0, 0)))
    n, rows, columns = x.shape[0], x.shape[1] - high + 1, x.shape[2] - wide + 1
    taps = np.empty((n, rows, columns, high * wide, channels), np.float32)
    for tap in range(high * wide):
        row, column = divmod(tap, wide)
        taps[:, :, :, tap] = x[:, row : row + rows, column : column + columns]
    product = taps.reshape(n * rows * columns, -1) @ kernel.reshape(-1, out)
    product += bias
    return product.reshape(n, rows, columns, out)


def _pool(x: Float32Array, pool: tuple[int, int]) -> Float32Array:
    if pool == (1, 1):
        return x
    n, high, wide, channels = x.shape
    blocks = x.reshape(n, high // pool[0], pool[0], wide // pool[1], pool[1], channels)
    rows = np.maximum(blocks[:, :, 0], blocks[:, :, 1])
    return rows[:, :, :, 0] if pool[1] == 1 else np.maximum(rows[:, :, :, 0], rows[:, :, :, 1])


@functools.cache
def _weights() -> tuple[tuple[Float32Array, Float32Array], ...]:
    packed = resources.files("asfound.core.read.data").joinpath("numbers.npz").read_bytes()
    with np.load(io.BytesIO(packed), allow_pickle=False) as stored:
        layers = range(len(stored.files) // 2)
        return tuple(
            (
                np.ascontiguousarray(stored[f"c{layer}_w"].transpose(2, 3, 1, 0), np.float32),
                stored[f"c{layer}_b"].astype(np.float32),
            )
            for layer in layers
        )
