"""A dump from card to rows: what is added, known, refused and passed over, and what is written down of it."""

from __future__ import annotations

import os
import shutil
from datetime import datetime
from pathlib import Path

import pytest

from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.views import load_preview, source_of
from asfound.archive.cache import get_cached
from asfound.archive.check import check_originals
from asfound.archive.put import find_stored
from asfound.errors import NotFound
from asfound.media.thumbnails import decode_jpeg
from asfound.model.capture import TimeDoubt, TimeSource
from asfound.store import jobs, pictures
from tests.media import samples
from tests.media.test_source import make_zip


@pytest.fixture
def archive(tmp_path: Path):
    with open_archive(tmp_path / "archive", create=True) as opened:
        jobs.add_job(opened.store, "Sallow", "Europe/Amsterdam", opened.now())
        yield opened


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A phone's folder with a bit of everything."""
    folder = tmp_path / "card"
    folder.mkdir()
    full = samples.exif_bytes(
        time="2025:10:18 09:42:11", offset="+02:00", fraction="07", model="F1", make="Fieldcam", orientation=6
    )
    (folder / "a.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, 1), exif=full))
    (folder / "b.heic").write_bytes(samples.heic(samples.scene(96, 72, 2)))
    (folder / "K1_0001.jpg").write_bytes(
        samples.jpeg(samples.scene(96, 72, 3), exif=samples.exif_bytes(time="2025:10:26 02:30:00"))
    )
    samples.write_clip(folder / "c.mp4", seconds=3, texts={"creation_time": "2025-10-18T07:42:11Z"})
    (folder / "notes.log").write_text("x")
    (folder / ".hidden.jpg").write_bytes(b"x")
    (folder / "broken.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, 4))[:900])
    (folder / "text.jpg").write_text("no picture at all")
    return folder


def test_report_tells_of_every_file(archive: Archive, card: Path):
    report = add_dump(archive, [card], workers=0)

    assert {each.file: each.kind for each in report.added} == {
        "a.jpg": "photo",
        "b.heic": "photo",
        "K1_0001.jpg": "photo",
        "c.mp4": "clip",
        "broken.jpg": "photo",
    }
    assert [each.file for each in report.refused] == ["text.jpg"]
    assert report.passed_over == {"hidden": 1, "no picture or clip": 1}
    assert report.frames >= 2
    assert report.cameras["Fieldcam F1"] == 1
    assert report.cameras["K1"] == 1
    assert report.done == report.total
    first = next(each for each in report.added if each.file == "a.jpg")
    assert first.time_source is TimeSource.EXIF_ORIGINAL
    broken = next(each for each in report.added if each.file == "broken.jpg")
    assert "truncated" in broken.trouble
    assert broken.picture_id is not None


def test_rows_say_what_the_files_say(archive: Archive, card: Path):
    add_dump(archive, [card], workers=0)

    by_file = {p.file: p for p in pictures.list_pictures(archive.store, archive.job.job_id)}
    photo = by_file["a.jpg"]
    assert (photo.width_px, photo.height_px, photo.orientation) == (72, 96, 6)
    assert photo.taken_at is not None
    assert photo.taken_at.isoformat() == "2025-10-18T09:42:11.070000+02:00"
    assert by_file["K1_0001.jpg"].time_doubt is TimeDoubt.REPEATED_HOUR
    assert by_file["K1_0001.jpg"].taken_utc_s is None
    (clip,) = pictures.list_clips(archive.store, archive.job.job_id)
    assert clip.taken_local == datetime(2025, 10, 18, 9, 42, 11)
    for frame in pictures.find_frames(archive.store, clip.clip_id):
        assert frame.file == f"c.mp4@{frame.clip_seconds:.2f}s"
        assert frame.taken_utc_s == pytest.approx((clip.taken_utc_s or 0) + (frame.clip_seconds or 0))
    assert list(check_originals(archive.layout, [d for d, _, _ in pictures.list_originals(archive.store)])) == []


def test_adding_twice_equals_once_even_under_another_name(archive: Archive, card: Path):
    first = add_dump(archive, [card], workers=0)
    rows = pictures.list_pictures(archive.store, archive.job.job_id)
    (card / "copy of a.jpg").write_bytes((card / "a.jpg").read_bytes())

    second = add_dump(archive, [card], workers=0)

    assert second.added == []
    assert len(second.known) == len(first.added) + 1
    assert pictures.list_pictures(archive.store, archive.job.job_id) == rows
    (found,) = pictures.find_pictures_by_file(archive.store, archive.job.job_id, "copy of a.jpg")
    assert found.file == "a.jpg"


def test_same_photo_twice_in_one_dump_is_one_picture(archive: Archive, tmp_path: Path):
    folder = tmp_path / "x"
    folder.mkdir()
    for name in ("1.jpg", "2.jpg"):
        (folder / name).write_bytes(samples.jpeg())

    report = add_dump(archive, [folder], workers=0)

    assert ([each.file for each in report.added], [each.file for each in report.known]) == (["1.jpg"], ["2.jpg"])


def test_previews_lie_ready_and_come_back_when_the_cache_is_deleted(archive: Archive, card: Path):
    add_dump(archive, [card], workers=0)
    shown = [p for p in pictures.list_pictures(archive.store, archive.job.job_id) if p.trouble is None]

    sources = {picture.picture_id: source_of(archive, picture) for picture in shown}
    kept = {i: get_cached(archive.layout, "preview", f"{source.key}.jpg") for i, source in sources.items()}
    shutil.rmtree(archive.layout.cache)

    for picture in shown:
        first = kept[picture.picture_id]
        assert first is not None
        assert decode_jpeg(first).shape[:2] == (picture.height_px, picture.width_px)
        again = load_preview(archive, sources[picture.picture_id])
        assert samples.likeness(decode_jpeg(again), decode_jpeg(first)) < 4


def test_the_card_is_only_read(archive: Archive, card: Path):
    before = {path.name: (path.read_bytes(), path.stat().st_mtime_ns) for path in card.iterdir()}

    add_dump(archive, [card], workers=0)

    assert {path.name: (path.read_bytes(), path.stat().st_mtime_ns) for path in card.iterdir()} == before


def test_odd_names_and_zips_come_in(archive: Archive, tmp_path: Path):
    folder = os.fsencode(tmp_path / "odd")
    os.mkdir(folder)
    names = [b"new\nline.jpg", "\U0001f527.jpg".encode(), b"not \xff utf-8.jpg"]
    for number, name in enumerate(names):
        with open(os.path.join(folder, name), "wb") as file:
            file.write(samples.jpeg(samples.scene(48, 48, number)))
    make_zip(tmp_path / "x.zip", {"../in zip.jpg": samples.jpeg(samples.scene(48, 48, 9))})

    report = add_dump(archive, [Path(os.fsdecode(folder)), tmp_path / "x.zip"], workers=0)

    assert len(report.added) == 4
    assert report.refused == []
    stored = {bytes(row[0]) for row in archive.store.rows("SELECT raw_name FROM arrival")}
    assert stored == {*names, b"in zip.jpg"}
    in_zip = next(each for each in report.added if each.file == "in zip.jpg")
    assert in_zip.taken is not None
    assert in_zip.taken.local == datetime(2025, 10, 18, 9, 42, 10)


def test_workers_give_the_same_as_this_process(tmp_path: Path, card: Path):
    rows = []
    for workers in (0, 2):
        with open_archive(tmp_path / f"archive{workers}", create=True) as archive:
            jobs.add_job(archive.store, "Sallow", "Europe/Amsterdam", archive.now())
            add_dump(archive, [card], workers=workers)
            rows.append([(p.file, p.phash, p.taken_local, p.trouble) for p in pictures.list_pictures(archive.store, 1)])

    assert rows[0] == rows[1]


def test_hostile_headers_are_kept_with_the_reason(archive: Archive, tmp_path: Path):
    """A gigapixel header, and a photo of which only the first bytes exist."""
    (tmp_path / "x").mkdir()
    bomb = bytearray(samples.png(samples.scene(16, 16)))
    bomb[16:24] = (60000).to_bytes(4, "big") * 2
    (tmp_path / "x" / "bomb.png").write_bytes(bomb)
    (tmp_path / "x" / "stub.jpg").write_bytes(samples.jpeg()[:30])

    report = add_dump(archive, [tmp_path / "x"], workers=0)

    assert {each.file: each.kept for each in report.refused} == {"bomb.png": True, "stub.jpg": True}
    assert "60000 x 60000" in next(each.reason for each in report.refused if each.file == "bomb.png")
    assert len(pictures.list_originals(archive.store)) == 2


def test_original_that_was_deleted_comes_back_with_the_next_add(archive: Archive, card: Path):
    add_dump(archive, [card / "a.jpg", card / "b.heic"], workers=0)
    picture = next(p for p in pictures.list_pictures(archive.store, 1) if p.file == "a.jpg")
    path = find_stored(archive.layout, picture.digest or "")
    assert path is not None
    path.unlink()

    report = add_dump(archive, [card / "a.jpg", card / "b.heic"], workers=0)

    assert {each.file: each.came_back for each in report.known} == {"a.jpg": True, "b.heic": False}
    assert list(check_originals(archive.layout, [d for d, _, _ in pictures.list_originals(archive.store)])) == []
    again = add_dump(archive, [card / "a.jpg"], workers=0)
    assert [each.came_back for each in again.known] == [False]


def test_cut_off_clip_is_told_in_plain_words(archive: Archive, card: Path):
    whole = (card / "c.mp4").read_bytes()
    (card / "c.mp4").write_bytes(whole[: len(whole) // 2])

    (refused,) = add_dump(archive, [card / "c.mp4"], workers=0).refused

    assert (refused.file, refused.kept) == ("c.mp4", True)
    assert "cut off or damaged" in refused.reason
    assert not any(word in refused.reason for word in ("Errno", "originals", "/"))


def test_dump_without_a_job_is_refused(tmp_path: Path):
    with open_archive(tmp_path / "a", create=True) as archive, pytest.raises(NotFound):
        add_dump(archive, [tmp_path])
