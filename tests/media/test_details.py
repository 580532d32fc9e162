"""Details of photos, with pyexiv2 and exifread as second readers of what we wrote and read."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import exifread
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfound.media.formats import jpeg as jpeg_format
from asfound.media.formats._second_reader import second_opinion
from asfound.media.limits import DEFAULT_LIMITS
from asfound.media.opening import open_picture, read_details
from asfound.media.thumbnails import PREVIEW_LEAST_PX, PREVIEW_MOST_PX, decode_jpeg, derive, derive_from_image
from asfound.model.capture import TimeDoubt, TimeSource
from tests.media import samples

pyexiv2 = pytest.importorskip("pyexiv2")
AMSTERDAM = ZoneInfo("Europe/Amsterdam")

FULL = {
    "make": "Fieldcam",
    "model": "F1",
    "orientation": 6,
    "time": "2025:10:18 09:42:11",
    "offset": "+02:00",
    "fraction": "07",
    "focal_35mm": 26,
}


@pytest.mark.parametrize("write", [samples.jpeg, samples.png, samples.webp, samples.tiff, samples.heic])
def test_details_agree_with_two_other_readers(write: object, tmp_path: Path):
    data = write(exif=samples.exif_bytes(**FULL))  # type: ignore[operator]

    capture = read_details(data).capture

    assert (capture.make, capture.model, capture.focal_35mm) == ("Fieldcam", "F1", 26)
    assert capture.taken is not None
    assert (capture.taken.local, capture.taken.offset_minutes) == (datetime(2025, 10, 18, 9, 42, 11, 70000), 120)
    assert capture.taken.source is TimeSource.EXIF_ORIGINAL
    if write is samples.heic:
        return  # The second readers' builds do not read HEIC.
    with pyexiv2.ImageData(data) as other:
        fields = other.read_exif()
    assert fields["Exif.Photo.DateTimeOriginal"] == "2025:10:18 09:42:11"
    assert fields["Exif.Photo.OffsetTimeOriginal"] == "+02:00"
    assert fields["Exif.Image.Model"] == capture.model
    third = exifread.process_file(io.BytesIO(data), details=False)
    if third:
        assert str(third["EXIF DateTimeOriginal"]) == "2025:10:18 09:42:11"


def test_details_written_by_another_program_are_read(tmp_path: Path):
    path = tmp_path / "x.jpg"
    path.write_bytes(samples.jpeg())
    with pyexiv2.Image(str(path)) as image:
        image.modify_exif(
            {
                "Exif.Image.Make": "Fieldcam",
                "Exif.Image.Orientation": "8",
                "Exif.Photo.DateTimeOriginal": "2025:10:26 02:30:00",
                "Exif.Photo.BodySerialNumber": "12345",
            }
        )

    capture = read_details(path, zone=AMSTERDAM).capture

    assert (capture.make, capture.serial, capture.orientation) == ("Fieldcam", "12345", 8)
    assert capture.taken is not None
    assert capture.taken.doubt is TimeDoubt.REPEATED_HOUR


def test_second_reader_finds_the_same_fields():
    data = samples.jpeg(exif=samples.exif_bytes(**FULL))
    first = jpeg_format.read_details(data, DEFAULT_LIMITS).fields

    second = second_opinion(data, DEFAULT_LIMITS)

    assert second
    assert all(first[number] == value for number, value in second.items())


def test_damaged_exif_costs_the_details_not_the_picture():
    good = samples.exif_bytes(**FULL)
    for damaged in (good[:20], good[:40], b"Exif\0\0II*\0\xff\xff\xff\xff", b"Exif\0\0" + b"\xff" * 300):
        data = samples.jpeg(exif=damaged)
        assert read_details(data).width_px == 320
        assert open_picture(data).shape == (240, 320, 3)


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=200))
def test_no_exif_bytes_make_reading_raise(raw: bytes):
    data = samples.jpeg(samples.scene(16, 16), exif=b"Exif\0\0II*\0\x08\0\0\0" + raw)

    assert read_details(data).width_px == 16


def test_time_comes_from_name_then_file(tmp_path: Path):
    named, plain = tmp_path / "20251018_094211.jpg", tmp_path / "x.jpg"
    named.write_bytes(samples.jpeg())
    plain.write_bytes(samples.jpeg())

    by_name = read_details(named, zone=AMSTERDAM).capture.taken
    by_file = read_details(plain, zone=AMSTERDAM, file_time=datetime(2025, 10, 18, 7, 42, 11, tzinfo=UTC)).capture.taken

    assert by_name is not None
    assert by_file is not None
    assert by_name.source is TimeSource.FILE_NAME
    assert by_file.doubt is TimeDoubt.FILE_TIME
    assert by_name.local == by_file.local == datetime(2025, 10, 18, 9, 42, 11)


def test_largest_preview_of_a_dng_is_shown_not_its_thumbnail():
    image = samples.scene(320, 240, 6)
    data = samples.dng(image, orientation=6)

    details = read_details(data, name="x.dng")

    assert (details.format, details.width_px, details.height_px) == ("DNG", 240, 320)
    assert details.capture.make == "Fieldcam"
    assert details.capture.taken is not None
    assert details.capture.taken.local == datetime(2025, 10, 18, 9, 42, 11)
    assert open_picture(data).shape == (320, 240, 3)


def test_zeroed_hole_in_a_jpeg_is_told():
    """Decoders pass over it in silence and show grey."""
    data = bytearray(samples.jpeg(samples.scene(800, 600, 7), quality=95))
    middle = len(data) // 2
    data[middle : middle + 8192] = bytes(8192)

    assert "zeros" in read_details(bytes(data)).trouble
    assert read_details(samples.jpeg() + bytes(9000)).trouble == ""


def test_derived_pictures_have_the_sizes_promised():
    big = derive(samples.jpeg(samples.scene(4032, 3024, 1), exif=samples.exif_bytes(orientation=6)))
    small = derive(samples.jpeg(samples.scene(200, 100, 1)))

    assert PREVIEW_LEAST_PX <= big.height_px <= PREVIEW_MOST_PX
    assert decode_jpeg(big.preview_jpeg).shape == (big.height_px, big.width_px, 3) == (1008, 756, 3)
    assert decode_jpeg(big.thumbnail_jpeg).shape == (252, 189, 3), "at most 256, by a whole factor"
    assert (small.width_px, small.height_px) == (200, 100)


def test_fingerprint_of_a_reduced_decode_is_that_of_the_whole_picture():
    """2 bits of tolerance, as measured over 48 photos."""
    image = samples.scene(4032, 3024, 8)
    whole = derive_from_image(image)

    assert (derive(samples.jpeg(image)).phash ^ whole.phash).bit_count() <= 2


def test_gray_and_deep_pictures_come_out_as_rgb():
    import numpy as np
    from PIL import Image

    wide = (np.arange(64 * 64, dtype=np.uint32).reshape(64, 64) * 15).astype(np.uint16)
    for picture, kind in (
        (Image.fromarray(wide), "PNG"),
        (Image.fromarray(wide), "TIFF"),
        (Image.new("L", (64, 64), 90), "JPEG"),
        (Image.new("CMYK", (64, 64)), "JPEG"),
        (Image.new("P", (64, 64)), "PNG"),
        (Image.new("1", (64, 64)), "TIFF"),
        (Image.new("RGBA", (64, 64)), "WEBP"),
        (Image.new("LA", (64, 64)), "PNG"),
    ):
        file = io.BytesIO()
        picture.save(file, kind)
        shown = open_picture(file.getvalue())
        assert (shown.shape, shown.dtype) == ((64, 64, 3), np.uint8)
        assert derive(file.getvalue()).width_px == 64
