"""Directories of a TIFF file (TIFF 6.0, section 2), read like Pillow reads them, and never past the end."""

from __future__ import annotations

import io
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import TiffImagePlugin

from asfound.media.formats._tiff_tree import (
    MOST_DIRECTORIES,
    SUB_DIRECTORIES,
    Directory,
    is_tiff,
    read_directories,
)
from tests.media import samples

Field = tuple[int, int, int, int]
"""Number, type, how many, and the value or where it lies."""


def tiff(*directories: list[Field], order: str = "<", then: bytes = b"", following: list[int] | None = None) -> bytes:
    """Directories one after another, each pointing to the next unless `following` says otherwise."""
    at, places = 8, []
    for fields in directories:
        places.append(at)
        at += 6 + 12 * len(fields)
    after = following if following is not None else [*places[1:], 0]
    data = (b"II*\0" if order == "<" else b"MM\0*") + struct.pack(f"{order}I", 8)
    for fields, nearest in zip(directories, after, strict=True):
        data += struct.pack(f"{order}H", len(fields))
        for number, kind, count, value in fields:
            packed = struct.pack(f"{order}H", value) + bytes(2) if kind == 3 else struct.pack(f"{order}I", value)
            data += struct.pack(f"{order}HHI", number, kind, count) + packed
        data += struct.pack(f"{order}I", nearest)
    return data + then


@pytest.mark.parametrize("order", ["<", ">"])
def test_fields_are_read_in_either_order_of_bytes(order: str):
    data = tiff([(0x0100, 4, 1, 4000), (0x0112, 3, 1, 6)], [(0x0100, 3, 1, 160)], order=order)

    first, second = read_directories(data)

    assert first.fields == {0x0100: (4000,), 0x0112: (6,)}
    assert second.fields == {0x0100: (160,)}
    assert (first.first(0x0112), first.first(0x0999), first.first(0x0999, 1)) == (6, 0, 1)


def test_whole_numbers_are_those_that_pillow_reads():
    data = samples.tiff()
    known = TiffImagePlugin.TiffImageFile(io.BytesIO(data)).tag_v2

    (mine,) = read_directories(data)

    told = {number: values for number, values in mine.fields.items() if isinstance(known.get(number), int | tuple)}
    assert len(told) > 8
    for number, values in told.items():
        expected = known[number] if isinstance(known[number], tuple) else (known[number],)
        assert values == tuple(map(int, expected)), hex(number)


def test_directories_below_come_right_after_their_own():
    data = tiff(
        [(SUB_DIRECTORIES, 4, 1, 50)],
        [(0x0100, 4, 1, 2)],
        following=[26, 0],
        then=bytes(50 - 44) + tiff([(0x0100, 4, 1, 3)])[8:],
    )

    assert [one.first(0x0100) for one in read_directories(data)] == [0, 3, 2]


def test_values_that_do_not_fit_into_the_field_lie_elsewhere():
    data = tiff([(0x0111, 4, 3, 26)], then=struct.pack("<3I", 7, 8, 9))

    assert next(read_directories(data)).fields == {0x0111: (7, 8, 9)}


@pytest.mark.parametrize(
    "field",
    [
        (0x0111, 4, 3, 10**6),
        (0x0111, 4, 0, 1),
        (0x0111, 4, 10**9, 8),
        (0x0111, 5, 1, 8),
        (0x0111, 99, 1, 8),
    ],
    ids=["outside", "none of it", "too many", "a fraction", "unknown type"],
)
def test_field_that_cannot_be_read_is_left_out_and_the_others_stay(field: Field):
    assert next(read_directories(tiff([(0x0100, 4, 1, 5), field]))).fields == {0x0100: (5,)}


def test_directories_in_a_ring_are_read_once():
    ring = tiff([(0x0100, 4, 1, 1)], [(0x0100, 4, 1, 2)], following=[26, 8])

    assert [one.first(0x0100) for one in read_directories(ring)] == [1, 2]


def test_no_more_directories_than_allowed():
    data = tiff(*([(0x0100, 4, 1, 1)] for _ in range(MOST_DIRECTORIES + 20)))

    assert len(list(read_directories(data))) == MOST_DIRECTORIES


@pytest.mark.parametrize("data", [b"", b"II*\0", b"II*\0\x08\0\0", b"JUNK" + bytes(40), b"II+\0" + bytes(40)])
def test_what_is_no_tiff_of_this_form_has_no_directory(data: bytes):
    assert list(read_directories(data)) == []


def test_large_form_is_known_as_tiff_though_not_walked():
    assert all(map(is_tiff, (b"II*\0", b"MM\0*", b"II+\0rest", b"MM\0+")))
    assert not any(map(is_tiff, (b"", b"II*", b"MM*\0", b"\xff\xd8\xff\xe0")))


@given(st.sampled_from([b"II*\0", b"MM\0*"]), st.binary(max_size=300))
def test_any_bytes_give_whole_numbers_or_nothing(start: bytes, rest: bytes):
    found = list(read_directories(start + rest))

    assert len(found) <= MOST_DIRECTORIES
    assert all(isinstance(one, Directory) and all(map(len, one.fields.values())) for one in found)
