"""The 64-bit perceptual hash that finds the same shot again: resized, recompressed, or the next of a burst.

It does not find the same part from another angle. The algorithm and its bit order are those of the ImageHash package's
`phash`, so that stored values stay comparable: 32 x 32 grey, DCT-II, the low 8 x 8, 1 where above the median (Zauner,
Implementation and Benchmarking of Perceptual Image Hash Functions, 2010). SQLite has no unsigned 64-bit integers:
fingerprints are signed.
"""

from __future__ import annotations

from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

SIDE, LOW = 32, 8
AVERAGED, AVERAGED_FROM_PX = 4, 512


def compute_fingerprint(image: NDArray[np.uint8]) -> int:
    """Fingerprint of an upright picture, shape (h, w) or (h, w, 3) RGB; costs 0.8 ms at 1008 px.

    Equal to ImageHash's for small pictures; from `AVERAGED_FROM_PX` on at most 2 bits off (7 of 89 photos).
    """
    return _hash(_shrink(image))


def compute_fingerprints_turned(image: NDArray[np.uint8]) -> NDArray[np.int64]:
    """Fingerprints of a picture and its three quarter turns, shape (4,); the first is `compute_fingerprint(image)`.

    A phone held level over an engine turns its pictures at random, even inside a burst, and moves a fingerprint by 30
    bits. Turning is done at 32 x 32; a turned fingerprint may differ by 2 bits from that of the turned picture.
    """
    small = _shrink(image)
    return np.array([_hash(np.rot90(small, turns)) for turns in range(4)], dtype=np.int64)


def distances(queries: NDArray[np.int64], known: NDArray[np.int64]) -> NDArray[np.uint8]:
    """Hamming distance of each known fingerprint, shape (n,), to the nearest of the queries, shape (k,) with k >= 1.

    With `compute_fingerprints_turned` as queries this is the best of four turns. At 100 000, 0.05 ms per query.
    """
    unsigned = known.astype(np.int64, copy=False).view(np.uint64)
    wanted = np.asarray(queries, dtype=np.int64).view(np.uint64)
    best = np.bitwise_count(unsigned ^ wanted[0])
    for query in wanted[1:]:
        np.minimum(best, np.bitwise_count(unsigned ^ query), out=best)
    return np.asarray(best, dtype=np.uint8)


def _shrink(image: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """32 x 32 grey by Pillow's Lanczos filter: any other filter gives other bits.

    Large pictures are averaged to a quarter first; the filter would go over every pixel for each of the 32 x 32.
    """
    if image.ndim == 3:
        image = np.asarray(Image.fromarray(image).convert("L"))
    height, width = image.shape
    if min(height, width) >= AVERAGED_FROM_PX:
        size = width // AVERAGED, height // AVERAGED
        image = np.asarray(cv2.resize(image, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    gray = Image.fromarray(image)
    return np.asarray(gray.resize((SIDE, SIDE), Image.Resampling.LANCZOS))


def _hash(small: NDArray[np.uint8]) -> int:
    basis = _dct_rows()
    # Rounding removes the noise of the sums, so that a flat picture hashes alike on every machine.
    low = np.round(basis @ small.astype(np.float64) @ basis.T, 6)
    bits = (low > np.median(low)).ravel()
    return int.from_bytes(np.packbits(bits).tobytes(), "big", signed=True)


@lru_cache(maxsize=1)
def _dct_rows() -> NDArray[np.float64]:
    """The first 8 rows of the DCT-II of length 32, shape (8, 32), unnormalised: 2 cos(pi k (2n + 1) / 64)."""
    k, n = np.arange(LOW)[:, None], np.arange(SIDE)[None, :]
    return np.asarray(2 * np.cos(np.pi * k * (2 * n + 1) / (2 * SIDE)), dtype=np.float64)
