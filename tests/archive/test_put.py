"""An original comes in whole and unchanged, or not at all, however large its source and whatever happens meanwhile."""

from __future__ import annotations

import errno
import hashlib
import io
import os
from collections.abc import Callable
from pathlib import Path
from typing import BinaryIO

import pytest

from asfound.archive import put
from asfound.archive.layout import Layout
from asfound.archive.put import clean_suffix, find_original, find_stored, is_whole, put_original
from asfound.core.fixity.digest import compute_digest
from asfound.errors import ArchiveTrouble, Unreadable

ABC = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
"""SHA-256 of "abc": NIST, FIPS 180-4 examples."""

MILLION = "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
"""SHA-256 of a million times "a": the same examples, and RFC 6234, section 8.5."""

NOTHING = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
"""SHA-256 of nothing: NIST, Cryptographic Algorithm Validation Program, byte-oriented test vectors."""

SMALL, LARGE = 1 << 20, 10
"""Bounds on what is read into memory: all sources here come through it, or none."""


@pytest.fixture(params=[SMALL, LARGE], ids=["in memory", "in pieces"])
def way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Both ways of taking a source in, with pieces so small that each source has many."""
    monkeypatch.setattr(put, "GATHERED_BYTES", request.param)
    monkeypatch.setattr(put, "CHUNK_BYTES", 16)
    return "in memory" if request.param == SMALL else "in pieces"


def files_in(layout: Layout) -> list[Path]:
    return sorted(path for path in layout.originals.rglob("*") if path.is_file())


def source_of(folder: Path, data: bytes) -> Path:
    path = folder / "P1_0001.jpg"
    path.write_bytes(data)
    return path


@pytest.mark.parametrize(
    ("data", "digest"), [(b"abc", ABC), (b"a" * 1_000_000, MILLION), (b"", NOTHING)], ids=["abc", "million", "nothing"]
)
def test_name_is_the_published_digest(layout: Layout, tmp_path: Path, way: str, data: bytes, digest: str):
    with open(source_of(tmp_path, data), "rb") as file:
        done = put_original(layout, file, ".jpg")

    assert (done.digest_sha256, done.bytes, done.already) == (digest, len(data), False)
    assert done.path == layout.originals / digest[:2] / f"{digest}.jpg"
    assert done.path.read_bytes() == data


def test_second_time_tells_the_same_and_writes_nothing(layout: Layout, tmp_path: Path, way: str):
    path = source_of(tmp_path, b"hose clamp " * 9)
    with open(path, "rb") as file:
        first = put_original(layout, file, ".jpg")
    before = first.path.stat()

    with open(path, "rb") as file:
        second = put_original(layout, file, ".png")

    assert second.already
    assert (second.digest_sha256, second.path, second.bytes) == (first.digest_sha256, first.path, 99)
    after = first.path.stat()
    assert (after.st_ino, after.st_mtime_ns) == (before.st_ino, before.st_mtime_ns)
    assert files_in(layout) == [first.path]


def test_small_source_is_hashed_before_anything_is_written(
    layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """A card that is added again costs no writing; one at the bound still counts as small, one above does not."""
    drafts = []
    monkeypatch.setattr(put, "GATHERED_BYTES", 99)
    monkeypatch.setattr(put, "draft_in", lambda folder: drafts.append(folder) or _draft_in(folder))
    for size, made in ((99, 0), (100, 1)):
        path = source_of(tmp_path, b"x" * size)
        with open(path, "rb") as file:
            put_original(layout, file, ".jpg")
        drafts.clear()
        with open(path, "rb") as file:
            assert put_original(layout, file, ".jpg").already
        assert len(drafts) == made


_draft_in = put.draft_in


class Meddled:
    """A file of the system in which something is done at the nth reading."""

    def __init__(self, path: Path, at: int, meddle: Callable[[Path], None]) -> None:
        self.path, self.at, self.meddle, self.read_so_far = path, at, meddle, 0
        self.file = open(path, "rb")

    def read(self, size: int) -> bytes:
        data = self.file.read(size)
        if self.read_so_far == self.at:
            self.meddle(self.path)
        self.read_so_far += 1
        return data

    def fileno(self) -> int:
        return self.file.fileno()


def grow(path: Path) -> None:
    with open(path, "ab") as other:
        other.write(b"more")


def rewrite(path: Path) -> None:
    """Other bytes of the same size with the old time, as a tool that syncs a card leaves it."""
    found = path.stat()
    path.write_bytes(b"b" * found.st_size)
    os.utime(path, ns=(found.st_atime_ns, found.st_mtime_ns))


def shorten(path: Path) -> None:
    os.truncate(path, 20)


@pytest.mark.parametrize("meddle", [grow, rewrite, shorten])
def test_source_that_changes_meanwhile_is_refused_and_leaves_nothing(
    layout: Layout, tmp_path: Path, way: str, meddle: Callable[[Path], None]
):
    file = Meddled(source_of(tmp_path, b"a" * 100), 0, meddle)

    with pytest.raises(Unreadable, match="it changed while it was copied; add it again"):
        put_original(layout, as_file(file), ".jpg")

    assert files_in(layout) == []


def test_source_that_grows_as_fast_as_it_is_read_does_not_fill_the_disk(
    layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """Refused at the first byte too many and not at an end that never comes."""
    monkeypatch.setattr(put, "GATHERED_BYTES", 10)
    file = Meddled(source_of(tmp_path, b"a" * 100), -1, grow)
    asked: list[int] = []

    def read(size: int) -> bytes:
        asked.append(size)
        assert len(asked) < 50
        return b"a" * 30

    monkeypatch.setattr(file, "read", read)
    with pytest.raises(Unreadable, match="changed"):
        put_original(layout, as_file(file), ".jpg")

    assert len(asked) == 4
    assert files_in(layout) == []


def test_small_source_is_asked_for_no_more_than_one_byte_over_its_size(
    layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """At once, and one more to see that it grew; a source that hands over more than it has is refused."""
    file = Meddled(source_of(tmp_path, b"a" * 100), -1, grow)
    asked: list[int] = []
    real = file.read
    monkeypatch.setattr(file, "read", lambda size: asked.append(size) or real(size))
    assert put_original(layout, as_file(file), ".jpg").bytes == 100
    assert asked == [101]

    monkeypatch.setattr(file, "read", lambda size: b"b" * 101)
    with pytest.raises(Unreadable, match="it changed while it was copied"):
        put_original(layout, as_file(file), ".jpg")


def test_pieces_are_asked_for_in_bounded_size(layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(put, "GATHERED_BYTES", 10)
    file = Meddled(source_of(tmp_path, b"a" * 100), -1, grow)
    asked: list[int] = []
    real = file.read
    monkeypatch.setattr(file, "read", lambda size: asked.append(size) or real(size))

    put_original(layout, as_file(file), ".jpg")

    assert set(asked) == {put.CHUNK_BYTES}


@pytest.mark.parametrize(
    "error", [OSError(errno.EIO, "Input/output error"), EOFError("ends too soon"), ValueError("x")]
)
@pytest.mark.parametrize("after", [0, 2])
def test_source_that_cannot_be_read_is_refused_with_its_reason(
    layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception, after: int
):
    """A member of a zip raises the two last ones; a worn card fails in the middle."""
    monkeypatch.setattr(put, "GATHERED_BYTES", 10)
    monkeypatch.setattr(put, "CHUNK_BYTES", 16)
    file = Meddled(source_of(tmp_path, b"a" * 100), -1, grow)
    real = file.read

    def read(size: int) -> bytes:
        if file.read_so_far >= after:
            raise error
        return real(size)

    monkeypatch.setattr(file, "read", read)
    with pytest.raises(Unreadable, match="reading it failed: ") as told:
        put_original(layout, as_file(file), ".jpg")

    assert str(error) in str(told.value)
    assert files_in(layout) == []


def as_file(file: Meddled) -> BinaryIO:
    return file  # type: ignore[return-value]


def test_source_that_is_no_file_of_the_system_is_taken_too(layout: Layout):
    """A member of a zip: it has no number, and its size is not known beforehand."""

    class Member:
        def __init__(self) -> None:
            self.inside = io.BytesIO(b"from a zip")

        def read(self, size: int) -> bytes:
            return self.inside.read(size)

    done = put_original(layout, Member(), ".jpg")  # type: ignore[arg-type]

    assert done.path.read_bytes() == b"from a zip"
    assert (done.bytes, done.already) == (10, False)


@pytest.mark.parametrize("call", ["fsync", "replace", "open"])
def test_archive_that_cannot_be_written_says_so_and_keeps_no_half(
    layout: Layout, monkeypatch: pytest.MonkeyPatch, call: str
):
    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("builtins.open" if call == "open" else f"asfound.archive.atomic.os.{call}", full)
    with pytest.raises(ArchiveTrouble, match=r"cannot be written \(No space left on device\); make room") as told:
        put_original(layout, io.BytesIO(b"photo"), ".jpg")
    monkeypatch.undo()

    assert str(layout.folder) in str(told.value)
    assert files_in(layout) == []


def test_bytes_are_durable_before_their_name_is(layout: Layout, monkeypatch: pytest.MonkeyPatch):
    """Flush, then rename, then the folder: see the head of `atomic`. What was there already is made durable again."""
    calls: list[str] = []
    for name in ("fsync", "replace"):
        real = getattr(os, name)
        monkeypatch.setattr(os, name, lambda *a, name=name, real=real: calls.append(name) or real(*a))

    put_original(layout, io.BytesIO(b"photo"), ".jpg")
    assert calls[-3:] == ["fsync", "replace", "fsync"]

    calls.clear()
    assert put_original(layout, io.BytesIO(b"photo"), ".jpg").already
    assert calls == ["fsync"]


@pytest.mark.parametrize("damage", [b"wh", b"", b"whole!", b"whold"])
def test_damaged_original_is_healed_by_its_right_bytes(layout: Layout, tmp_path: Path, way: str, damage: bytes):
    path = source_of(tmp_path, b"whole")
    with open(path, "rb") as file:
        stored = put_original(layout, file, ".jpg").path
    stored.chmod(0o644)
    stored.write_bytes(damage)

    with open(path, "rb") as file:
        again = put_original(layout, file, ".mov")

    assert (again.already, again.path, stored.read_bytes()) == (False, stored, b"whole")
    assert files_in(layout) == [stored]


def test_original_that_cannot_be_read_is_not_taken_for_whole(
    layout: Layout, tmp_path: Path, way: str, monkeypatch: pytest.MonkeyPatch
):
    path = source_of(tmp_path, b"photo" * 9)
    with open(path, "rb") as file:
        stored = put_original(layout, file, ".jpg")
        file.seek(0)
        _refuse_to_open(monkeypatch, stored.path)
        assert not is_whole(stored.path, stored.digest_sha256)

        assert not put_original(layout, file, ".jpg").already


def _refuse_to_open(monkeypatch: pytest.MonkeyPatch, refused: Path) -> None:
    real = open

    def refuse(path: object, *words: object, **more: object) -> object:
        if path == refused:
            raise OSError(errno.EIO, "Input/output error")
        return real(path, *words, **more)  # type: ignore[call-overload]

    monkeypatch.setattr("builtins.open", refuse)


def test_whole_is_what_has_the_bytes_of_its_digest(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setattr(put, "CHUNK_BYTES", 2)
    (tmp_path / "abc").write_bytes(b"abc")

    assert is_whole(tmp_path / "abc", ABC)
    assert not is_whole(tmp_path / "abc", NOTHING)
    assert not is_whole(tmp_path / "none", ABC)


def test_names_in_capitals_are_found_as_a_memory_card_leaves_them(layout: Layout):
    """FAT keeps short names in capitals (ECMA-107); the digest is the same."""
    stored = put_original(layout, io.BytesIO(b"photo"), ".jpg").path
    digest = stored.stem
    folder = layout.originals / digest[:2].upper()
    stored.parent.rename(folder)
    (folder / stored.name).rename(folder / stored.name.upper())

    assert find_stored(layout, digest) == folder / stored.name.upper()
    assert put_original(layout, io.BytesIO(b"photo"), ".jpg").already


def test_file_in_place_of_a_folder_holds_no_original(layout: Layout):
    digest = compute_digest(b"photo")
    (layout.originals / digest[:2]).write_text("in the way")

    assert find_stored(layout, digest) is None


@pytest.mark.parametrize(
    ("name", "suffix"),
    [
        ("x.heif", ".heif"),
        ("x.12345", ".12345"),
        ("x.123456", ""),
        ("x.a b", ""),
        ("x.-jpg", ""),
        ("x.", ""),
        (".jpg", ""),
        ("x.tar.gz", ".gz"),
        ("IMG.HEIC", ".heic"),
        ("x.j/pg", ""),
    ],
)
def test_suffix_has_five_letters_at_most_and_nothing_that_a_path_could_mean(name: str, suffix: str):
    assert clean_suffix(name) == suffix


@pytest.mark.parametrize("known", [".jpg", ".png", ""])
def test_original_is_found_by_its_digest_whatever_suffix_is_expected(layout: Layout, known: str):
    stored = put_original(layout, io.BytesIO(b"photo"), ".jpg")
    digest = stored.digest_sha256

    assert find_original(layout, digest, known) == stored.path
    assert hashlib.sha256(stored.path.read_bytes()).hexdigest() == digest


def test_known_suffix_saves_looking_through_the_folder(layout: Layout, monkeypatch: pytest.MonkeyPatch):
    stored = put_original(layout, io.BytesIO(b"photo"), ".jpg")
    monkeypatch.setattr("asfound.archive.put.find_stored", lambda *_: pytest.fail("looked through"))

    assert find_original(layout, stored.digest_sha256, ".jpg") == stored.path
    assert stored.path.read_bytes() == b"photo"
