"""A small network that describes a keypoint by its SIFT descriptor and two patches around it.

Of the kind of L2-Net and HardNet (Tian, Fan, Wu, CVPR 2017; Mishchuk, Mishkin, Radenovic, Matas, NeurIPS 2017), made
small enough for one core: patches are cut into squares of 4 pixels first. `tests/bench/train_patches.py` trained it on
rendered bays and on photographs, so that keypoints of one place come out alike.
"""

from __future__ import annotations

import functools
import io
from dataclasses import dataclass
from importlib import resources

import numpy as np
from numpy.typing import NDArray

from asfound.core.match.arrays import Float32Array, unit_rows

WIDTH = 128
"""Numbers of a descriptor."""
SQUARE, CELLS = 4, 8
"""Patches are cut into CELLS by CELLS squares of SQUARE pixels to a side."""
KERNEL = 3
"""Cells to a side of a convolution."""
ROOT_GAIN, DARK = 8.0, 6.0
"""Brings the root of a SIFT descriptor near the size of what the patches give; gray levels added to a patch's
deviation, so that what is nearly blank stays so instead of being made of noise. Both as the network was trained with
(`tests/bench/train_patches.py`)."""
BLOCK = 64
"""Keypoints described at a time: so many patches stay in the processor's cache."""


@dataclass(frozen=True, eq=False)
class PatchNetwork:
    """The trained tables, batch normalisation folded into them.

    Attributes
    ----------
    kernels, biases : tuple of ndarray of shape (9 * c, d) and (d,), float32
        Convolutions of 3 by 3; rows in the order of rows, columns, channels.
    flat, flat_bias : ndarray of shape (64 * d, 128) and (128,), float32
        All cells to 128 numbers.
    hidden, hidden_bias : ndarray of shape (256, h) and (h,), float32
        From the root of the SIFT descriptor and those numbers.
    out, skip, bias : ndarray of shape (h, 128), (256, 128) and (128,), float32
    """

    kernels: tuple[Float32Array, ...]
    biases: tuple[Float32Array, ...]
    flat: Float32Array
    flat_bias: Float32Array
    hidden: Float32Array
    hidden_bias: Float32Array
    out: Float32Array
    skip: Float32Array
    bias: Float32Array

    def describe(self, root_descriptors: Float32Array, patches: NDArray[np.uint8]) -> Float32Array:
        """Unit vectors, shape (n, 128), float32, of unit RootSIFT descriptors (n, 128) and patches (n, 2, 32, 32)."""
        out = np.zeros((len(patches), WIDTH), np.float32)
        for start in range(0, len(patches), BLOCK):
            rows = slice(start, start + BLOCK)
            seen = self._look(patches[rows])
            both = np.concatenate([root_descriptors[rows] * np.float32(ROOT_GAIN), seen], axis=1)
            hidden = np.maximum(both @ self.hidden + self.hidden_bias, 0)
            out[rows] = hidden @ self.out + both @ self.skip + self.bias
        return unit_rows(out)

    def _look(self, patches: NDArray[np.uint8]) -> Float32Array:
        """What the convolutions make of patches (n, 2, 32, 32), shape (n, 128), float32."""
        count, kinds = patches.shape[:2]
        x = patches.astype(np.float32)
        x -= x.mean(axis=(2, 3), keepdims=True)
        x /= x.std(axis=(2, 3), keepdims=True, ddof=1) + np.float32(DARK)
        cut = x.reshape(count, kinds, CELLS, SQUARE, CELLS, SQUARE).transpose(0, 2, 4, 1, 3, 5)
        x = cut.reshape(count, CELLS, CELLS, kinds * SQUARE * SQUARE)
        for kernel, bias in zip(self.kernels, self.biases, strict=True):
            x = _convolve(x, kernel, bias)
        return np.asarray(x.reshape(count, -1) @ self.flat + self.flat_bias, np.float32)


def _convolve(x: Float32Array, kernel: Float32Array, bias: Float32Array) -> Float32Array:
    """Cells (n, 8, 8, c) to (n, 8, 8, d), zeros around, never below nought."""
    count, channels = len(x), x.shape[3]
    padded = np.zeros((count, CELLS + 2, CELLS + 2, channels), np.float32)
    padded[:, 1:-1, 1:-1] = x
    windows = np.lib.stride_tricks.sliding_window_view(padded, (KERNEL, KERNEL), axis=(1, 2))
    y = windows.transpose(0, 1, 2, 4, 5, 3).reshape(-1, KERNEL * KERNEL * channels) @ kernel
    y += bias
    np.maximum(y, 0, out=y)
    return np.asarray(y.reshape(count, CELLS, CELLS, -1), np.float32)


@functools.cache
def load_network() -> PatchNetwork:
    """The network that ships with the package."""
    packed = resources.files("asfound.core.match.data").joinpath("patches.npz").read_bytes()
    with np.load(io.BytesIO(packed), allow_pickle=False) as stored:
        tables = {name: stored[name].astype(np.float32) for name in stored.files}
    layers = range(sum(name.startswith("kernel") for name in tables))
    return PatchNetwork(
        tuple(tables.pop(f"kernel{k}") for k in layers), tuple(tables.pop(f"bias{k}") for k in layers), **tables
    )
