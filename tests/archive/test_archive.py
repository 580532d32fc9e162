"""Putting originals in, finding and checking them, and the cache."""

from __future__ import annotations

import io
import os
import shutil
import stat
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from asfound.archive.atomic import TEMPORARY, save_bytes, sweep_drafts
from asfound.archive.cache import get_cached, put_cached
from asfound.archive.check import check_originals
from asfound.archive.layout import Layout, make_layout
from asfound.archive.put import clean_suffix, find_original, path_of, put_original
from asfound.core.fixity.digest import compute_digest
from asfound.core.fixity.findings import FindingKind
from asfound.errors import OriginalMissing, Unreadable


def files_in(layout: Layout) -> list[Path]:
    return sorted(path for path in layout.originals.rglob("*") if path.is_file())


def test_original_is_kept_byte_for_byte_under_its_digest(layout: Layout):
    put = put_original(layout, io.BytesIO(b"picture"), ".jpg")

    digest = compute_digest(b"picture")
    assert (put.digest_sha256, put.bytes, put.already) == (digest, 7, False)
    assert put.path == layout.folder / "originals" / digest[:2] / f"{digest}.jpg"
    assert put.path.read_bytes() == b"picture"
    assert stat.S_IMODE(put.path.stat().st_mode) == 0o444
    assert find_original(layout, digest, ".jpg") == find_original(layout, digest) == put.path
    assert put.path.read_bytes() == b"picture"


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=40, deadline=None)
@given(st.binary(max_size=200), st.sampled_from([".jpg", ".mov", ""]), st.sampled_from([".jpg", ".png", ""]))
def test_putting_twice_equals_once(layout: Layout, data: bytes, first: str, second: str):
    before = put_original(layout, io.BytesIO(data), first)
    count = len(files_in(layout))

    again = put_original(layout, io.BytesIO(data), second)

    assert again.already
    assert (again.digest_sha256, again.path) == (before.digest_sha256, before.path)
    assert len(files_in(layout)) == count


def test_large_source_is_copied_in_one_reading(layout: Layout, monkeypatch: pytest.MonkeyPatch, tmp_path: Path):
    monkeypatch.setattr("asfound.archive.put.GATHERED_BYTES", 10)
    path = tmp_path / "clip.mp4"
    path.write_bytes(b"0123456789" * 5)

    for already in (False, True):
        with open(path, "rb") as file:
            assert put_original(layout, file, ".mp4").already is already
    assert len(files_in(layout)) == 1


@pytest.mark.parametrize("gathered", [0, 1 << 20])
@pytest.mark.parametrize("change", ["grows", "rewritten with its old time"])
def test_source_that_changes_meanwhile_is_refused(
    layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, change: str, gathered: int
):
    monkeypatch.setattr("asfound.archive.put.GATHERED_BYTES", gathered)
    path = tmp_path / "x.jpg"
    path.write_bytes(b"a" * 100)
    file = Changing(path, change)

    with pytest.raises(Unreadable, match="changed"):
        put_original(layout, file, ".jpg")  # type: ignore[arg-type]

    assert files_in(layout) == []


class Changing:
    """A file that something else writes to while it is read."""

    def __init__(self, path: Path, change: str) -> None:
        self.path, self.change, self.file = path, change, open(path, "rb")

    def read(self, size: int) -> bytes:
        data = self.file.read(size)
        found = self.path.stat()
        if self.change == "grows":
            with open(self.path, "ab") as other:
                other.write(b"more")
        else:
            self.path.write_bytes(b"b" * 100)
            os.utime(self.path, ns=(found.st_atime_ns, found.st_mtime_ns))
        return data

    def seek(self, place: int) -> int:
        return self.file.seek(place)

    def fileno(self) -> int:
        return self.file.fileno()


def test_source_that_cannot_be_read_leaves_nothing(layout: Layout):
    class Broken(io.RawIOBase):
        def read(self, size: int = -1) -> bytes:
            raise OSError(5, "Input/output error")

    with pytest.raises(Unreadable, match="Input/output"):
        put_original(layout, Broken(), ".jpg")  # type: ignore[arg-type]
    assert files_in(layout) == []


def test_missing_original_is_named(layout: Layout):
    assert find_original(layout, "ab" * 32) is None
    with pytest.raises(OriginalMissing, match="abababababab"):
        path_of(layout, "ab" * 32)


@pytest.mark.parametrize(
    ("name", "suffix"),
    [
        ("a.JPG", ".jpg"),
        ("a", ""),
        ("a.b/c", ""),
        ("a.toolongsuffix", ""),
        ("a.j\ng", ""),
        ("a.é", ""),
        ("../x.mov", ".mov"),
    ],
)
def test_suffixes_are_plain(name: str, suffix: str):
    assert clean_suffix(name) == suffix


def test_check_of_a_sound_archive_finds_nothing(layout: Layout):
    digests = [put_original(layout, io.BytesIO(data), ".jpg").digest_sha256 for data in (b"a", b"b", b"c")]

    assert list(check_originals(layout, digests)) == []


def test_every_flipped_byte_is_found_and_named(layout: Layout):
    data = bytes(range(40))
    put = put_original(layout, io.BytesIO(data), ".jpg")
    other = put_original(layout, io.BytesIO(b"sound"), ".jpg")
    put.path.chmod(0o644)
    for place in range(len(data)):
        damaged = bytearray(data)
        damaged[place] ^= 1
        put.path.write_bytes(bytes(damaged))

        findings = list(check_originals(layout, [put.digest_sha256, other.digest_sha256]))

        assert [(f.kind, f.digest) for f in findings] == [(FindingKind.CHANGED, put.digest_sha256)]
        assert put.path.read_bytes() == bytes(damaged)


def test_check_names_missing_orphaned_and_foreign_files(layout: Layout):
    orphan = put_original(layout, io.BytesIO(b"orphan"), ".jpg")
    (layout.originals / "notes.txt").write_text("mine")
    (layout.originals / f"{TEMPORARY}1234").write_bytes(b"half")
    seen = []

    findings = list(check_originals(layout, ["cd" * 32], progress=lambda done, total: seen.append((done, total))))

    assert {(f.kind, f.digest) for f in findings} == {
        (FindingKind.MISSING, "cd" * 32),
        (FindingKind.ORPHAN, orphan.digest_sha256),
        (FindingKind.ORPHAN, ""),
    }
    assert seen[-1] == (3, 3)
    assert (layout.originals / "notes.txt").exists()


def test_damaged_original_is_replaced_when_its_right_bytes_come_again(layout: Layout):
    put = put_original(layout, io.BytesIO(b"whole"), ".jpg")
    put.path.chmod(0o644)
    put.path.write_bytes(b"wh")

    again = put_original(layout, io.BytesIO(b"whole"), ".jpg")

    assert not again.already
    assert put.path.read_bytes() == b"whole"
    assert list(check_originals(layout, [put.digest_sha256])) == []


def test_folder_of_an_archive_explains_itself(layout: Layout):
    text = layout.readme.read_text()
    assert "sha256sum" in text
    layout.readme.write_text("changed by a person")

    make_layout(layout.folder)

    assert layout.readme.read_text() == "changed by a person"
    assert layout.database.name == "asfound.sqlite"


def test_cache_can_be_deleted_and_written_again(layout: Layout):
    put_cached(layout, "preview", "abc.jpg", b"x")
    assert get_cached(layout, "preview", "abc.jpg") == b"x"

    shutil.rmtree(layout.cache)

    assert get_cached(layout, "preview", "abc.jpg") is None
    put_cached(layout, "preview", "abc.jpg", b"y")
    assert get_cached(layout, "preview", "abc.jpg") == b"y"


def test_cache_that_cannot_be_written_is_no_error(layout: Layout):
    (layout.cache / "preview").rmdir()
    (layout.cache / "preview").write_text("in the way")

    put_cached(layout, "preview", "abc.jpg", b"x")

    assert get_cached(layout, "preview", "abc.jpg") is None


def test_saved_file_is_replaced_whole(tmp_path: Path):
    save_bytes(tmp_path / "x", b"old")
    save_bytes(tmp_path / "x", b"new")

    assert (tmp_path / "x").read_bytes() == b"new"
    assert os.listdir(tmp_path) == ["x"]


def test_only_old_drafts_are_swept(layout: Layout):
    young, old = layout.originals / f"{TEMPORARY}young", layout.originals / f"{TEMPORARY}old"
    young.write_bytes(b"x")
    old.write_bytes(b"x")
    os.utime(old, (0, 0))

    assert sweep_drafts(layout.originals) == 1
    assert files_in(layout) == [young]


@pytest.mark.skipif(os.name == "nt", reason="no such modes")
def test_new_archive_is_for_its_owner_alone(tmp_path: Path):
    make_layout(tmp_path / "deep" / "archive")

    assert (tmp_path / "deep" / "archive").stat().st_mode & 0o777 == 0o700
