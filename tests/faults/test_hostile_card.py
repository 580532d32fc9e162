"""A card with all that can be wrong with a file, added through the command line: all is told of, nothing is lost."""

from __future__ import annotations

import json
import os
import struct
import subprocess
import sys
import zipfile
import zlib
from pathlib import Path

import pytest

from tests.media import samples


def run(archive: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "asfound", "--archive", str(archive), *words], capture_output=True, text=True
    )


def photo(seed: int) -> bytes:
    return samples.jpeg(samples.scene(96, 72, seed), exif=samples.exif_bytes(time="2025:10:18 09:42:11"))


def png_of_many_pixels() -> bytes:
    """A header that asks for 3.6 billion pixels (PNG, ISO/IEC 15948, section 11.2.2), and next to no data."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    header = struct.pack(">IIBBBBB", 60000, 60000, 8, 2, 0, 0, 0)
    pixels = chunk(b"IDAT", zlib.compress(bytes(100)))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + pixels + chunk(b"IEND", b"")


@pytest.fixture
def card(tmp_path: Path) -> Path:
    folder = tmp_path / "card"
    folder.mkdir()
    (folder / "good.jpg").write_bytes(photo(1))
    (folder / "truncated.jpg").write_bytes(photo(2)[:-400])
    (folder / "zero.jpg").write_bytes(b"")
    (folder / "really a jpeg.png").write_bytes(photo(3))
    (folder / "text.jpg").write_text("no picture at all")
    (folder / "giga.png").write_bytes(png_of_many_pixels())
    (folder / "two\nlines \x1b[2J \U0001f527.jpg").write_bytes(photo(4))
    with open(os.fsencode(folder) + b"/latin\xe9.jpg", "wb") as file:
        file.write(photo(5))
    (folder / "round").symlink_to(".")
    (folder / "to.jpg").symlink_to("fro.jpg")
    (folder / "fro.jpg").symlink_to("to.jpg")
    os.mkfifo(folder / "pipe.jpg")
    (folder / "unreadable.jpg").write_bytes(photo(6))
    (folder / "unreadable.jpg").chmod(0)
    with zipfile.ZipFile(folder / "phone.zip", "w") as zipped:
        zipped.writestr("DCIM/zipped.jpg", photo(7))
        zipped.writestr("../../escape.jpg", photo(8))
        zipped.writestr("bomb.jpg", b"\xff\xd8\xff" + bytes(20_000_000), zipfile.ZIP_DEFLATED)
    (folder / "broken.zip").write_bytes((folder / "phone.zip").read_bytes()[:900])
    return folder


def test_hostile_card_is_taken_as_far_as_it_goes(tmp_path: Path, card: Path):
    archive = tmp_path / "archive"
    run(archive, "job", "new", "Sallow")
    before = {path: path.lstat().st_mtime_ns for path in card.iterdir()}

    done = run(archive, "add", "--later", str(card), "--json")
    document = json.loads(done.stdout)

    whole = {each["file"] for each in document["added"] if each["trouble"] is None}
    assert {"good.jpg", "really a jpeg.png", "zipped.jpg", "escape.jpg"} <= whole
    assert [each["file"] for each in document["added"] if each["trouble"]] == ["truncated.jpg"]
    refused = {each["file"] for each in document["refused"]}
    assert {"zero.jpg", "text.jpg", "giga.png", "broken.zip", "bomb.jpg"} <= refused
    assert ("unreadable.jpg" in refused) == (os.geteuid() != 0)
    assert document["passed_over"] == {"a link": 3, "no regular file": 1}
    assert done.returncode == 1
    assert all(line.startswith(("refused: ", "kept, but ")) for line in done.stderr.splitlines())
    assert {path: path.lstat().st_mtime_ns for path in card.iterdir()} == before
    assert not (tmp_path.parent / "escape.jpg").exists()


def test_hostile_card_added_again_changes_nothing(tmp_path: Path, card: Path):
    archive = tmp_path / "archive"
    run(archive, "job", "new", "Sallow")
    first = json.loads(run(archive, "add", "--later", str(card), "--json").stdout)
    listed = run(archive, "pictures").stdout

    again = json.loads(run(archive, "add", "--later", str(card), "--json").stdout)

    assert again["added"] == []
    assert {each["picture"] for each in again["known"]} == {each["picture"] for each in first["added"]}
    assert run(archive, "pictures").stdout == listed
    assert "\x1b" not in listed
    assert len(listed.splitlines()) == len(first["added"])


def test_place_that_is_not_there_is_one_line(tmp_path: Path):
    run(tmp_path / "archive", "job", "new", "Sallow")

    done = run(tmp_path / "archive", "add", str(tmp_path / "no\nwhere"))

    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
