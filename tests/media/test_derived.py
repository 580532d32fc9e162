"""What is made of every picture: sizes that screens can count on, and nothing of where it was taken."""

from __future__ import annotations

import io

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from asfound.errors import NotMedia
from asfound.media.opening import open_picture
from asfound.media.thumbnails import (
    PREVIEW_LEAST_PX,
    PREVIEW_MOST_PX,
    THUMBNAIL_PX,
    decode_jpeg,
    derive,
    derive_from_image,
    encode_jpeg,
    reduce_to,
    to_gray,
)
from tests.media import samples


@settings(max_examples=12, deadline=None)
@given(width=st.integers(1, 3000), height=st.integers(1, 3000))
def test_preview_and_thumbnail_have_the_sizes_that_are_promised(width: int, height: int):
    image = np.full((height, width, 3), 90, np.uint8)

    made = derive_from_image(image)

    preview, small = decode_jpeg(made.preview_jpeg), decode_jpeg(made.thumbnail_jpeg)
    assert (made.width_px, made.height_px) == (preview.shape[1], preview.shape[0])
    longest = max(preview.shape[:2])
    assert longest == max(width, height) if max(width, height) <= PREVIEW_MOST_PX else longest == PREVIEW_MOST_PX
    assert max(small.shape[:2]) <= THUMBNAIL_PX
    assert max(small.shape[:2]) == max(width, height) or max(small.shape[:2]) > THUMBNAIL_PX // 2
    for shown in (preview, small):
        assert min(shown.shape[:2]) >= 1
        assert abs(shown.shape[1] / shown.shape[0] - width / height) <= 2 * max(1, width / height) / min(
            shown.shape[:2]
        )


@pytest.mark.parametrize("longest", [999, 1000, 1008, 1280, 1281, 2015, 2016, 4032])
def test_preview_of_a_photo_is_large_enough_to_read_a_tape_on(longest: int):
    """4032 is a 12-megapixel phone; around 1000 and 1280 the decoder changes its factor."""
    data = samples.jpeg(np.full((longest // 2, longest, 3), 90, np.uint8))

    made = derive(data)

    assert min(longest, PREVIEW_LEAST_PX) <= made.width_px <= PREVIEW_MOST_PX


def test_nothing_of_its_making_is_in_what_is_shown_or_printed():
    exif = samples.exif_bytes(time="2025:10:18 09:42:11", model="F1", make="Fieldcam")
    data = samples.jpeg(exif=exif)
    assert b"Fieldcam" in data

    made = derive(data)

    for shown in (made.preview_jpeg, made.thumbnail_jpeg, encode_jpeg(open_picture(data))):
        assert b"Fieldcam" not in shown
        assert dict(Image.open(io.BytesIO(shown)).getexif()) == {}


def test_clip_and_text_are_no_pictures(tmp_path):
    samples.write_clip(tmp_path / "x.mp4", seconds=0.2)

    for data in ((tmp_path / "x.mp4").read_bytes(), b"text\n" * 40):
        with pytest.raises(NotMedia):
            derive(data)


def test_same_picture_has_the_same_fingerprint_whatever_it_is_saved_as():
    image = samples.scene(640, 480, 5)

    marks = {derive(write(image)).phash for write in (samples.png, samples.tiff)}

    assert len(marks) == 1
    assert derive(samples.png(samples.scene(640, 480, 6))).phash not in marks


def test_sharp_picture_measures_sharper_than_a_blurred_one():
    image = samples.scene(320, 240, 2)
    blurred = np.asarray(Image.fromarray(image).resize((80, 60)).resize((320, 240)))

    assert derive_from_image(image).sharpness > 2 * derive_from_image(blurred).sharpness


@pytest.mark.parametrize(
    ("colour", "brightness"), [((255, 0, 0), 76), ((0, 255, 0), 150), ((0, 0, 255), 29), ((255, 255, 255), 255)]
)
def test_brightness_is_that_of_bt601(colour: tuple[int, int, int], brightness: int):
    """ITU-R BT.601: 0.299 R + 0.587 G + 0.114 B, rounded."""
    assert brightness == round(0.299 * colour[0] + 0.587 * colour[1] + 0.114 * colour[2])

    assert to_gray(np.full((2, 2, 3), colour, np.uint8)).tolist() == [[brightness] * 2] * 2


def test_reducing_keeps_a_small_picture_as_it_is_and_averages_a_large_one():
    image = np.zeros((4, 8, 3), np.uint8)
    image[:, ::2] = 200

    assert reduce_to(image, 8) is image
    assert reduce_to(image, 4).tolist() == np.full((2, 4, 3), 100, np.uint8).tolist()
    assert reduce_to(np.zeros((1, 900, 3), np.uint8), 100).shape == (1, 100, 3), "never thinner than one dot"


def test_picture_is_decoded_no_longer_than_asked():
    data = encode_jpeg(samples.scene(1200, 900, 3))

    assert decode_jpeg(data).shape == (900, 1200, 3)
    assert max(decode_jpeg(data, 500).shape) == 500
    assert decode_jpeg(data, 5000).shape == (900, 1200, 3)
