"""Copies of pictures, read back by two libraries (Pillow, exifread): upright, marked where meant, telling no place."""

from __future__ import annotations

import io
from datetime import datetime
from zoneinfo import ZoneInfo

import exifread
import numpy as np
import pytest
from PIL import Image

from asfound.output.copies import LabelledRing, draw_pins, encode_copy

TAKEN = datetime(2025, 10, 11, 9, 57, 30, tzinfo=ZoneInfo("Europe/Amsterdam"))
GREY = np.full((300, 400, 3), 120, np.uint8)


def details(jpeg: bytes) -> dict[str, str]:
    return {name: str(value) for name, value in exifread.process_file(io.BytesIO(jpeg)).items()}


def test_a_copy_tells_when_it_was_taken_and_nothing_else() -> None:
    """The form of the times: CIPA DC-008, 2.31 and later, as exifread reads it."""
    found = details(encode_copy(GREY, TAKEN))

    assert found["EXIF DateTimeOriginal"] == "2025:10:11 09:57:30"
    assert found["EXIF OffsetTimeOriginal"] == "+02:00"
    assert set(found) == {
        "Image Orientation", "Image ExifOffset", "EXIF DateTimeOriginal", "EXIF OffsetTimeOriginal"
    }  # fmt: skip


def test_a_copy_of_unknown_time_says_none() -> None:
    assert not any("DateTime" in name for name in details(encode_copy(GREY, None)))


def test_a_copy_keeps_every_pixel_in_its_place() -> None:
    image = np.zeros((40, 60, 3), np.uint8)
    image[:20, :30] = (250, 10, 10)

    back = np.asarray(Image.open(io.BytesIO(encode_copy(image, None))).convert("RGB"))

    assert back.shape == (40, 60, 3)
    assert back[5, 5].tolist() == pytest.approx([250, 10, 10], abs=12)
    assert back[35, 55].tolist() == pytest.approx([0, 0, 0], abs=12)


@pytest.mark.parametrize(("x", "y"), [(0.5, 0.5), (0.02, 0.02), (0.99, 0.99), (0.99, 0.01)])
def test_a_ring_leaves_what_it_means_uncovered_and_is_seen_on_black_and_white(x: float, y: float) -> None:
    for shade in (0, 255):
        image = np.full((300, 400, 3), shade, np.uint8)
        drawn = draw_pins(image, [LabelledRing("17B", x, y)])
        at_x, at_y = min(399, int(x * 400)), min(299, int(y * 300))

        assert (drawn[at_y, at_x] == shade).all()
        assert {0, 255} <= set(np.unique(drawn).tolist())
        assert (image == shade).all()


def test_a_guess_has_a_broken_ring() -> None:
    said, guessed = (draw_pins(GREY, [LabelledRing("", 0.5, 0.5, is_guess)]) for is_guess in (False, True))

    def on_ring(image: np.ndarray) -> int:
        around = np.deg2rad(np.arange(360))
        x, y = np.round(200 + 8 * np.cos(around)).astype(int), np.round(150 + 8 * np.sin(around)).astype(int)
        return int((image[y, x] != 120).any(axis=1).sum())

    assert on_ring(said) > on_ring(guessed) > 100
