"""Boxes of the ISO base media file format, built by hand after ISO/IEC 14496-12 (from memory: 4.2, 4.3 and 8.2.2)."""

from __future__ import annotations

import io
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.media.formats import heic, isom
from asfound.media.formats._boxes import file_brands, read_clip_count
from tests.media import samples

COUNT = 3_843_596_531
"""Seconds since 1904-01-01 UTC; any 32-bit number would do."""


def box(kind: bytes, content: bytes, *, large: bool = False, to_end: bool = False) -> bytes:
    """A box with a 32-bit size, a 64-bit one, or the 0 that means "to the end of the file"."""
    if to_end:
        return bytes(4) + kind + content
    if large:
        return (1).to_bytes(4, "big") + kind + (16 + len(content)).to_bytes(8, "big") + content
    return (8 + len(content)).to_bytes(4, "big") + kind + content


def header(version: int, count: int) -> bytes:
    """`mvhd`: version, three bytes of flags, then the creation time in 32 bits, or in 64 for version 1."""
    times = count.to_bytes(8, "big") * 2 if version else count.to_bytes(4, "big") * 2
    return box(b"mvhd", bytes([version, 0, 0, 0]) + times + bytes(80))


FTYP = box(b"ftyp", b"isom" + bytes(4) + b"isommp42")


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("32 bits", FTYP + box(b"moov", header(0, COUNT))),
        ("64 bits", FTYP + box(b"moov", header(1, COUNT))),
        ("pictures first", FTYP + box(b"mdat", b"x" * 5000) + box(b"moov", header(0, COUNT))),
        ("pictures in a large box", FTYP + box(b"mdat", b"x" * 5000, large=True) + box(b"moov", header(0, COUNT))),
        ("to the end of the file", FTYP + box(b"moov", header(0, COUNT), to_end=True)),
        ("something before the header", FTYP + box(b"moov", box(b"free", b"xx") + header(0, COUNT))),
        ("no file type", box(b"moov", header(0, COUNT))),
    ],
)
def test_creation_time_is_read_wherever_its_header_lies(name: str, data: bytes):
    assert read_clip_count(io.BytesIO(data)) == COUNT, name


def test_count_larger_than_32_bits_is_read_whole():
    late = 2**33 + 5

    assert read_clip_count(io.BytesIO(FTYP + box(b"moov", header(1, late)))) == late


def test_time_that_was_never_set_is_nought_and_not_missing():
    assert read_clip_count(io.BytesIO(FTYP + box(b"moov", header(0, 0)))) == 0


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("empty", b""),
        ("no header", FTYP),
        ("header cut off", FTYP + box(b"moov", box(b"mvhd", bytes(8)))),
        ("header outside of its place", FTYP + header(0, COUNT)),
        ("box smaller than its own head", FTYP + (4).to_bytes(4, "big") + b"moov" + header(0, COUNT)),
        ("many boxes of nothing", FTYP + box(b"free", b"") * 5000 + box(b"moov", header(0, COUNT))),
    ],
)
def test_without_a_readable_header_nothing_is_told(name: str, data: bytes):
    assert read_clip_count(io.BytesIO(data)) is None, name


def test_box_that_claims_more_than_the_file_has_ends_with_the_file():
    whole = FTYP + box(b"moov", header(0, COUNT))
    grown = bytearray(whole)
    grown[len(FTYP) : len(FTYP) + 4] = (10**9).to_bytes(4, "big")

    assert read_clip_count(io.BytesIO(bytes(grown))) == COUNT


def test_count_is_the_one_that_ffmpeg_wrote(tmp_path: Path):
    """Against FFmpeg, which counts the seconds from 1904 to the moment it is told."""
    samples.write_clip(tmp_path / "x.mp4", seconds=0.3, texts={"creation_time": "2025-10-18T07:42:11Z"})
    samples.write_clip(tmp_path / "none.mp4", seconds=0.3)

    seconds = (datetime(2025, 10, 18, 7, 42, 11) - datetime(1904, 1, 1)).total_seconds()
    counts = [read_clip_count(io.BytesIO((tmp_path / name).read_bytes())) for name in ("x.mp4", "none.mp4")]
    assert counts == [seconds, 0]


@given(st.binary(max_size=400))
def test_any_bytes_are_read_or_not_and_never_a_crash(data: bytes):
    count = read_clip_count(io.BytesIO(FTYP + data))

    assert count is None or 0 <= count < 2**64
    file_brands(data)


def test_brands_are_the_major_one_then_the_compatible_ones():
    assert file_brands(FTYP) == [b"isom", b"isom", b"mp42"]
    assert file_brands(FTYP[:20]) == [b"isom", b"isom"], "as far as the prefix goes"
    assert file_brands(FTYP[:15]) == file_brands(b"\0" * 64) == []


@pytest.mark.parametrize(
    ("major", "others", "kind"),
    [
        (b"isom", b"mp42", "clip"),
        (b"qt  ", b"qt  ", "clip"),
        (b"heic", b"mif1heic", "photo"),
        (b"mif1", b"mif1heic", "photo"),
        # A picture in another coding, and sound alone: neither can be read here.
        (b"avif", b"mif1avif", ""),
        (b"mif1", b"mif1avif", ""),
        (b"M4A ", b"M4A mp42", ""),
    ],
)
def test_brand_tells_clips_pictures_and_sound_apart(major: bytes, others: bytes, kind: str):
    prefix = box(b"ftyp", major + bytes(4) + others)

    assert isom.accepts(prefix) is (kind == "clip")
    assert heic.accepts(prefix) is (kind == "photo")


@pytest.mark.parametrize("start", sorted(isom.OLD_STARTS))
def test_quicktime_files_older_than_the_file_type_are_known_by_their_first_box(start: bytes):
    assert isom.accepts(bytes(4) + start + bytes(64))
    assert not isom.accepts(bytes(4) + start)
