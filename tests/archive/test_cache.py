"""The cache holds what it was given, or nothing: never other bytes, and never an error."""

from __future__ import annotations

import os
import zlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from asfound.archive.atomic import TEMPORARY
from asfound.archive.cache import (
    END_BYTES,
    get_cached,
    is_cached_whole,
    list_cached,
    put_cached,
    with_end,
    without_end,
)
from asfound.archive.layout import CACHE_KINDS, Layout, make_layout


@given(st.binary(max_size=300))
def test_bytes_come_back_as_they_were_given(data: bytes):
    assert without_end(with_end(data)) == data


@given(st.binary(min_size=1, max_size=60), st.data())
def test_flipped_bit_anywhere_is_noticed(data: bytes, draw: st.DataObject):
    """A CRC-32 notices every single flipped bit (ISO/IEC 13239, annex A has its polynomial)."""
    whole = bytearray(with_end(data))
    at = draw.draw(st.integers(0, len(whole) * 8 - 1))
    whole[at // 8] ^= 1 << at % 8

    assert without_end(bytes(whole)) is None


@given(st.binary(max_size=60), st.integers(1, 68))
def test_torn_file_is_noticed(data: bytes, lost: int):
    whole = with_end(data)

    assert without_end(whole[: max(0, len(whole) - lost)]) is None


def test_end_is_a_mark_and_the_sum_little_endian():
    assert with_end(b"x") == b"xAFC1" + zlib.crc32(b"x").to_bytes(4, "little")
    assert len(with_end(b"")) == END_BYTES == 8


def test_bytes_without_the_mark_are_none_of_ours_though_their_sum_be_right():
    assert without_end(b"x" + b"AFC2" + zlib.crc32(b"x").to_bytes(4, "little")) is None


@pytest.mark.parametrize("kind", CACHE_KINDS)
def test_each_kind_keeps_a_name_of_its_own(layout: Layout, kind: str):
    put_cached(layout, kind, "abcd.jpg", kind.encode())
    put_cached(layout, kind, "abce.jpg", b"other")

    assert get_cached(layout, kind, "abcd.jpg") == kind.encode()
    assert (layout.cache / kind / "ab" / "abcd.jpg").exists()
    others = [other for other in CACHE_KINDS if other != kind]
    assert [get_cached(layout, other, "abcd.jpg") for other in others] == [None] * len(others)


def test_kept_file_is_replaced_and_no_draft_left(layout: Layout):
    for data in (b"old", b"new"):
        put_cached(layout, "thumb", "abcd", data)

    assert get_cached(layout, "thumb", "abcd") == b"new"
    assert os.listdir(layout.cache / "thumb" / "ab") == ["abcd"]


def test_keeping_waits_for_no_disk(layout: Layout, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(os, "fsync", lambda _: pytest.fail("waited"))

    put_cached(layout, "thumb", "abcd", b"x")

    assert get_cached(layout, "thumb", "abcd") == b"x"


def test_cache_that_was_deleted_by_hand_is_made_again(layout: Layout):
    for kind in CACHE_KINDS:
        (layout.cache / kind).rmdir()
    layout.cache.rmdir()

    put_cached(layout, "features", "abcd", b"x")

    assert get_cached(layout, "features", "abcd") == b"x"


def test_list_names_all_that_is_kept_in_order_and_no_drafts(layout: Layout):
    for kind, name in (("thumb", "cd1"), ("preview", "ab2"), ("preview", "ab1"), ("preview", "aa1")):
        put_cached(layout, kind, name, b"x")
    (layout.cache / "preview" / "ab" / f"{TEMPORARY}1").touch()

    listed = [path.relative_to(layout.cache).as_posix() for path in list_cached(layout)]

    assert listed == ["preview/aa/aa1", "preview/ab/ab1", "preview/ab/ab2", "thumb/cd/cd1"]


def test_damaged_file_counts_as_absent_and_is_told_apart_from_a_whole_one(layout: Layout):
    put_cached(layout, "preview", "abcd", b"picture")
    path = layout.cached("preview", "abcd")
    assert is_cached_whole(path)
    data = path.read_bytes()

    for damaged in (b"", data[:-1], b"qicture" + data[7:], b"picture"):
        path.write_bytes(damaged)
        assert get_cached(layout, "preview", "abcd") is None
        assert not is_cached_whole(path)
    path.unlink()
    assert not is_cached_whole(path)
    assert get_cached(layout, "preview", "abcd") is None


def test_archive_is_laid_out_as_its_readme_says(tmp_path: Path):
    layout = make_layout(tmp_path / "new" / "archive")

    assert {path.name for path in layout.folder.iterdir()} == {"originals", "cache", "README.txt"}
    assert layout.database == layout.folder / "asfound.sqlite"
    text = layout.readme.read_text(encoding="utf-8")
    assert all(name in text for name in ("originals/", "asfound.sqlite", "cache/"))
    assert layout.original("abcd", ".jpg") == layout.folder / "originals" / "ab" / "abcd.jpg"
    (layout.originals / "kept").touch()
    assert make_layout(layout.folder) == layout
    assert (layout.originals / "kept").exists()
