"""Fingerprints equal those of ImageHash, and are found again. Check values 27 and 28."""

from __future__ import annotations

import imagehash
import numpy as np
import pytest
from hypothesis import strategies as st
from PIL import Image

from asfound.core.capture.bursts import hamming
from asfound.core.capture.fingerprint import (
    compute_fingerprint,
)
from asfound.core.capture.sharpness import measure_sharpness
from tests.media.samples import scene

signed = st.integers(-(2**63), 2**63 - 1)


def unsigned(value: int) -> int:
    return value & (2**64 - 1)


@pytest.mark.parametrize("seed", range(12))
def test_fingerprint_equals_the_reference(seed: int):
    """The package ImageHash 4.3, function phash: stored values stay comparable with it."""
    image = Image.fromarray(scene(200 + 17 * seed, 150 + 5 * seed, seed))
    reference = imagehash.phash(image)

    assert unsigned(compute_fingerprint(np.asarray(image))) == int(str(reference), 16)
    gray = np.asarray(image.convert("L"))
    assert unsigned(compute_fingerprint(gray)) == int(str(reference), 16)


@pytest.mark.parametrize("seed", range(6))
def test_fingerprint_of_a_large_picture_is_the_reference_but_for_two_bits(seed: int):
    """ImageHash 4.3 again, where pictures are averaged first."""
    image = Image.fromarray(scene(1008, 756, seed))
    reference = int(str(imagehash.phash(image)), 16)

    assert (unsigned(compute_fingerprint(np.asarray(image))) ^ reference).bit_count() <= 2


def test_fingerprint_is_pinned():
    """A stored value must stay readable: this one was written by version 0.1."""
    x, y = np.arange(64)[None, :], np.arange(48)[:, None]
    picture = ((x * x + 3 * y * y + x * y) // 16 % 251).astype(np.uint8)

    assert compute_fingerprint(picture) == -7_704_193_116_246_706_548


def test_hamming_by_definition():
    """By hand: the number of bits that differ."""
    assert hamming(0xF0, 0x0F) == 8
    assert hamming(-1, 0) == 64


def test_distance_of_real_pictures_is_even():
    """ImageHash issue 211: the median sets 32 bits."""
    prints = [compute_fingerprint(scene(seed=seed)) for seed in range(10)]

    assert all(hamming(a, b) % 2 == 0 for a in prints for b in prints)


def test_sharpness_is_the_variance_by_numpy():
    import cv2

    gray = np.asarray(Image.fromarray(scene(200, 150, 3)).convert("L"))

    assert measure_sharpness(gray) == pytest.approx(float(np.var(cv2.Laplacian(gray, cv2.CV_64F))), rel=1e-9)


def test_sharp_is_sharper_than_blurred():
    import cv2

    gray = np.asarray(Image.fromarray(scene()).convert("L"))

    assert measure_sharpness(gray) > 4 * measure_sharpness(cv2.GaussianBlur(gray, (0, 0), 2))
    assert measure_sharpness(np.zeros((100, 100), np.uint8)) == 0
    assert measure_sharpness(np.zeros((2, 100), np.uint8)) == 0
