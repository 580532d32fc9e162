"""What every photo format must do: round trip, upright, limits, damage, and wrong content. Formats are found by being
in the folder; a new one needs a sample here."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from asfound.core.capture.orientation import turn_upright
from asfound.errors import NotMedia, Refused, TooLarge
from asfound.media.format import ImageFormat, all_formats
from asfound.media.limits import DEFAULT_LIMITS
from asfound.media.opening import identify_prefix, open_picture, read_details
from asfound.media.thumbnails import derive
from tests.media import samples

SAMPLES: dict[str, Callable[..., bytes]] = {
    "JPEG": samples.jpeg,
    "PNG": samples.png,
    "WebP": samples.webp,
    "TIFF": samples.tiff,
    "HEIC": samples.heic,
    "DNG": samples.dng,
}
PHOTO_FORMATS = [each for each in all_formats() if isinstance(each, ImageFormat)]
TURNS_WITH_EXIF = ["JPEG", "PNG", "WebP", "TIFF"]
SECONDS = 5.0

every_format = pytest.mark.parametrize("image_format", PHOTO_FORMATS, ids=lambda each: each.name)


@every_format
def test_there_is_a_sample_and_suffixes_are_lower_case(image_format: ImageFormat):
    assert image_format.name in SAMPLES
    assert all(suffix.startswith(".") and suffix == suffix.lower() for suffix in image_format.suffixes)


def test_no_two_formats_claim_one_suffix():
    claimed = [suffix for each in all_formats() for suffix in each.suffixes]

    assert len(claimed) == len(set(claimed))


@every_format
def test_round_trip(image_format: ImageFormat):
    image = samples.scene(320, 240, 1)
    data = SAMPLES[image_format.name](image)

    details = read_details(data, name="x.bin")

    assert (details.format, details.width_px, details.height_px) == (image_format.name, 320, 240)
    assert details.trouble == ""
    assert samples.likeness(open_picture(data), image) < 8


@every_format
def test_content_decides_whatever_the_name_says(image_format: ImageFormat):
    data = SAMPLES[image_format.name]()

    for name in ("x.jpg", "x.mp4", "x.png", "x", f"x{image_format.suffixes[0].upper()}"):
        if image_format.name == "DNG" and name == "x.tif":
            continue
        assert identify_prefix(data[:65536], name) is image_format


@every_format
def test_reduced_picture_has_the_longest_side_asked_for(image_format: ImageFormat):
    data = SAMPLES[image_format.name](samples.scene(900, 600, 2))

    small = open_picture(data, longest=300)

    assert small.shape == (200, 300, 3)
    assert small.dtype == np.uint8
    assert samples.likeness(small, open_picture(samples.png(samples.scene(900, 600, 2)), longest=300)) < 8
    assert open_picture(data, longest=5000).shape == (600, 900, 3)


@pytest.mark.parametrize("name", TURNS_WITH_EXIF)
@pytest.mark.parametrize("orientation", range(1, 9))
def test_picture_is_upright_in_every_orientation(name: str, orientation: int):
    image = samples.scene(192, 144, 3)
    data = SAMPLES[name](image, exif=samples.exif_bytes(orientation=orientation))

    details = read_details(data)
    shown = open_picture(data)

    assert shown.shape[:2] == (details.height_px, details.width_px)
    assert samples.likeness(shown, turn_upright(image, orientation)) < 8


@every_format
def test_truncated_file_is_refused_or_shown_but_never_worse(image_format: ImageFormat):
    data = SAMPLES[image_format.name](samples.scene(160, 120, 4))
    lengths = sorted({*range(0, 64, 3), *np.linspace(64, len(data) - 1, 40).astype(int).tolist()})
    begin = time.monotonic()

    refused = 0
    for length in lengths:
        for read in (open_picture, read_details, derive):
            try:
                read(data[:length])
            except Refused:
                refused += 1

    assert refused > len(lengths)
    assert time.monotonic() - begin < SECONDS


@every_format
def test_cut_in_the_middle_is_refused(image_format: ImageFormat):
    data = SAMPLES[image_format.name](samples.scene(160, 120, 4))

    with pytest.raises(Refused):
        open_picture(data[: len(data) * 6 // 10])


@every_format
def test_flipped_bytes_end_in_our_errors(image_format: ImageFormat):
    data = bytearray(SAMPLES[image_format.name](samples.scene(96, 64, 5)))
    rng = np.random.default_rng(0)
    begin = time.monotonic()

    for _ in range(120):
        damaged = bytearray(data)
        for place in rng.integers(0, min(len(data), 800), 3):
            damaged[place] = int(rng.integers(256))
        for read in (open_picture, read_details):
            try:
                read(bytes(damaged))
            except Refused:
                pass

    assert time.monotonic() - begin < SECONDS


@every_format
def test_too_many_pixels_are_refused_before_decoding(image_format: ImageFormat):
    data = SAMPLES[image_format.name](samples.scene(320, 240, 1))
    limits = replace(DEFAULT_LIMITS, pixels_reduced=320 * 240 - 1, pixels_whole=320 * 240 - 1)

    with pytest.raises(TooLarge, match="320 x 240"):
        open_picture(data, limits=limits)
    with pytest.raises(TooLarge):
        open_picture(data, limits=replace(DEFAULT_LIMITS, photo_bytes=len(data) - 1))


@every_format
def test_beginning_of_another_kind_of_file_is_not_accepted(image_format: ImageFormat):
    for other in (
        b"",
        b"\0" * 64,
        b"%PDF-1.7\n" * 8,
        b"PK\x03\x04" + b"\0" * 60,
        b"GIF89a" + b"\0" * 60,
        b"text\n" * 20,
    ):
        assert not image_format.accepts(other)


@pytest.mark.parametrize("data", [b"", b"\0" * 5000, b"just some words\n" * 50, b"%PDF-1.7"])
def test_what_is_no_media_is_said_to_be_none(data: bytes):
    for read in (open_picture, read_details, derive):
        with pytest.raises(NotMedia):
            read(data)
