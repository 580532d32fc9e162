"""Walking over what a person hands in: odd names, links, pipes, zips. Each thing met is told of, nothing hangs."""

from __future__ import annotations

import io
import os
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.media.limits import Limits
from asfound.media.met import FoundFile, Met, NotTaken, PassedOver, printable
from asfound.media.source import walk
from tests.media import samples


def kinds(met: list[Met]) -> dict[str, list[str]]:
    """Names by what became of them."""
    found = [m.name for m in met if isinstance(m, FoundFile)]
    passed = [f"{os.path.basename(m.where)}: {m.why}" for m in met if isinstance(m, PassedOver)]
    return {"found": found, "passed": passed, "refused": [m.name for m in met if isinstance(m, NotTaken)]}


@pytest.fixture(scope="module")
def picture() -> bytes:
    return samples.jpeg(samples.scene(64, 48))


def test_folders_are_walked_in_order_and_the_rest_is_counted(tmp_path: Path, picture: bytes):
    (tmp_path / "DCIM" / "100").mkdir(parents=True)
    (tmp_path / ".thumbnails").mkdir()
    for name in ("DCIM/100/b.jpg", "DCIM/100/a.jpg", "c", ".hidden.jpg", ".thumbnails/t.jpg"):
        (tmp_path / name).write_bytes(picture)
    (tmp_path / "notes.log").write_text("x")
    (tmp_path / "Thumbs.db").write_bytes(picture)
    (tmp_path / "text.jpg").write_text("no picture")
    (tmp_path / "empty.mp4").touch()

    met = kinds(list(walk([tmp_path])))

    assert met["found"] == ["a.jpg", "b.jpg", "c"]
    assert sorted(met["passed"]) == [
        ".hidden.jpg: hidden",
        ".thumbnails: hidden",
        "Thumbs.db: hidden",
        "notes.log: no picture or clip",
    ]
    assert met["refused"] == ["empty.mp4", "text.jpg"]


def test_a_file_named_by_hand_is_refused_not_passed_over(tmp_path: Path):
    (tmp_path / "notes.log").write_text("x")

    met = list(walk([tmp_path / "notes.log", tmp_path / "gone.jpg"]))

    assert kinds(met)["refused"] == ["notes.log", "gone.jpg"]


def test_links_and_loops_are_not_followed(tmp_path: Path, picture: bytes):
    (tmp_path / "a.jpg").write_bytes(picture)
    (tmp_path / "loop").symlink_to(tmp_path)
    (tmp_path / "self.jpg").symlink_to("self.jpg")
    (tmp_path / "link.jpg").symlink_to("a.jpg")

    met = kinds(list(walk([tmp_path])))

    assert met["found"] == ["a.jpg"]
    assert len(met["passed"]) == 3
    assert kinds(list(walk([tmp_path / "loop"])))["found"] == ["a.jpg"]
    assert kinds(list(walk([tmp_path / "self.jpg"])))["refused"] == ["self.jpg"]


def test_pipes_are_not_waited_for(tmp_path: Path):
    os.mkfifo(tmp_path / "pipe.jpg")

    assert kinds(list(walk([tmp_path])))["passed"] == ["pipe.jpg: no regular file"]
    assert kinds(list(walk([tmp_path / "pipe.jpg"])))["refused"] == ["pipe.jpg"]
    assert kinds(list(walk(["/dev/null"])))["refused"] == ["null"]


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may read everything")
def test_unreadable_file_and_folder_are_refused_with_the_reason(tmp_path: Path, picture: bytes):
    (tmp_path / "a.jpg").write_bytes(picture)
    (tmp_path / "a.jpg").chmod(0)
    (tmp_path / "shut").mkdir(mode=0)

    met = [m for m in walk([tmp_path]) if isinstance(m, NotTaken)]

    assert [m.name for m in met] == ["a.jpg", "shut"]
    assert all("Permission" in m.reason for m in met)


ODD_NAMES = [
    b"new\nline.jpg",
    "hose \U0001f527.jpg".encode(),
    b"not \xff utf-8.jpg",
    b"-rf.jpg",
    b"a;b'c\".jpg",
    b"x" * 250 + b".jpg",
]


def test_odd_names_are_kept_as_bytes_and_shown_in_one_line(tmp_path: Path, picture: bytes):
    for name in ODD_NAMES:
        with open(os.path.join(os.fsencode(tmp_path), name), "wb") as file:
            file.write(picture)

    met = [m for m in walk([tmp_path]) if isinstance(m, FoundFile)]

    assert sorted(m.raw_name for m in met) == sorted(ODD_NAMES)
    for each in met:
        assert "\n" not in each.name
        each.name.encode("utf-8")
        with each.open() as file:
            assert file.read() == picture


def test_file_that_vanishes_after_the_walk_raises_ours(tmp_path: Path, picture: bytes):
    (tmp_path / "a.jpg").write_bytes(picture)
    (met,) = walk([tmp_path])
    (tmp_path / "a.jpg").unlink()

    assert isinstance(met, FoundFile)
    with pytest.raises(Exception, match="No such file"):
        met.open()


def make_zip(path: Path, members: dict[str, bytes], compression: int = zipfile.ZIP_DEFLATED) -> Path:
    with zipfile.ZipFile(path, "w", compression) as archive:
        for name, data in members.items():
            archive.writestr(zipfile.ZipInfo(name, (2025, 10, 18, 9, 42, 10)), data, compress_type=compression)
    return path


def test_members_of_a_zip_are_found_with_local_times(tmp_path: Path, picture: bytes):
    make_zip(tmp_path / "x.zip", {"DCIM/a.jpg": picture, "DCIM/": b"", "b.log": b"x", "__MACOSX/._a.jpg": b"y"})

    met = list(walk([tmp_path / "x.zip"]))

    assert kinds(met)["found"] == ["a.jpg"]
    assert len(kinds(met)["passed"]) == 2
    found = met[0]
    assert isinstance(found, FoundFile)
    assert found.modified == datetime(2025, 10, 18, 9, 42, 10)
    with found.open() as file:
        assert file.read() == picture


def test_names_in_zips_are_only_names(tmp_path: Path, picture: bytes):
    names = ["../../evil.jpg", "/etc/abs.jpg", "..\\..\\win.jpg", "C:\\x.jpg", "é\n.jpg"]
    make_zip(tmp_path / "x.zip", dict.fromkeys(names, picture))
    before = sorted(os.listdir(tmp_path))

    met = [m for m in walk([tmp_path / "x.zip"]) if isinstance(m, FoundFile)]
    for each in met:
        with each.open() as file:
            assert file.read() == picture

    assert [m.name for m in met] == ["evil.jpg", "abs.jpg", "win.jpg", "x.jpg", "é\ufffd.jpg"]
    assert sorted(os.listdir(tmp_path)) == before


def test_zip_bombs_are_refused_without_unpacking(tmp_path: Path, picture: bytes):
    make_zip(tmp_path / "x.zip", {"bomb.jpg": picture + bytes(40_000_000), "good.jpg": picture})

    met = kinds(list(walk([tmp_path / "x.zip"])))

    assert (met["found"], met["refused"]) == (["good.jpg"], ["bomb.jpg"])
    few = kinds(list(walk([tmp_path / "x.zip"], limits=Limits(zip_members=1))))
    assert (few["found"], few["refused"]) == ([], ["x.zip"])
    small = kinds(list(walk([tmp_path / "x.zip"], limits=Limits(zip_bytes=10, zip_ratio=10**6))))
    assert small["refused"] == ["bomb.jpg", "good.jpg"]


def test_member_that_lies_about_its_size_is_cut_off(tmp_path: Path, picture: bytes):
    path = make_zip(tmp_path / "x.zip", {"a.jpg": picture + b"\1" * 5000})
    data = path.read_bytes()
    true, lie = (len(picture) + 5000).to_bytes(4, "little"), len(picture).to_bytes(4, "little")
    path.write_bytes(data.replace(true, lie))

    for each in walk([path]):
        if isinstance(each, FoundFile):
            with pytest.raises(OSError, match="unpack"), each.open() as file:
                file.read()


def test_locked_damaged_and_nested_zips(tmp_path: Path, picture: bytes):
    inner = io.BytesIO()
    with zipfile.ZipFile(inner, "w") as archive:
        archive.writestr("a.jpg", picture)
    path = make_zip(tmp_path / "x.zip", {"inner.zip": inner.getvalue(), "a.jpg": picture}, zipfile.ZIP_STORED)
    data = bytearray(path.read_bytes())
    plain = make_zip(tmp_path / "plain.zip", {"a.jpg": picture}).read_bytes()
    (tmp_path / "cut.zip").write_bytes(plain[: len(plain) // 2])
    data[data.rfind(picture) + 100] ^= 1
    (tmp_path / "flip.zip").write_bytes(data)

    (nested,) = (each for each in walk([path]) if isinstance(each, NotTaken))
    assert (nested.name, nested.reason) == (
        "inner.zip",
        "a zip within a zip; unpack it yourself and add what it holds",
    )
    (tmp_path / "card").mkdir()
    (tmp_path / "card" / "no.zip").write_bytes(b"a page of text")
    assert kinds(list(walk([tmp_path / "card"])))["refused"] == ["no.zip"]
    assert kinds(list(walk([tmp_path / "cut.zip"])))["refused"] == ["cut.zip"]
    for each in walk([tmp_path / "flip.zip"]):
        if isinstance(each, FoundFile):
            with pytest.raises(OSError, match="unpack"), each.open() as file:
                file.read()


def test_modified_time_is_the_files(tmp_path: Path, picture: bytes):
    (tmp_path / "a.jpg").write_bytes(picture)
    os.utime(tmp_path / "a.jpg", (0, 1_760_773_331))

    (met,) = walk([tmp_path])

    assert isinstance(met, FoundFile)
    assert met.modified == datetime(2025, 10, 18, 7, 42, 11, tzinfo=UTC)


def test_printable_keeps_plain_text():
    assert printable("Schläuche 3.jpg".encode()) == "Schläuche 3.jpg"


@pytest.mark.parametrize(
    "name", ["CLIP0001.AVI", "00001.MTS", "a.mkv", "b.webm", "c.avif", "d.jxl", "e.gif", "DSC1.CR3"]
)
def test_photo_or_clip_of_another_kind_is_named_and_never_passed_over_in_silence(tmp_path: Path, name: str):
    (tmp_path / name).write_bytes(b"of another kind" * 10)

    (met,) = walk([tmp_path])

    assert isinstance(met, NotTaken)
    assert (met.name, "keep it on the card" in met.reason) == (name, True)
