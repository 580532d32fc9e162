"""Damaged photos and clips are gaps until they come whole, and stand in one list."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.add import add_dump
from asfound.actions.archive import Archive, open_archive
from asfound.actions.gaps import damaged_files, find_gaps
from asfound.actions.job import new_job
from asfound.model.log import Gap, GapKind
from tests.media import samples
from tests.sallow_archive import Bench


@pytest.fixture
def card(tmp_path: Path) -> Path:
    """A photo that is cut off, a clip without its index (the `moov` box, ISO/IEC 14496-12), and a whole photo."""
    folder = tmp_path / "card"
    folder.mkdir()
    (folder / "P1_0001.jpg").write_bytes(samples.jpeg(samples.scene(320, 240, 1))[:-3000])
    (folder / "P1_0002.jpg").write_bytes(samples.jpeg(samples.scene(320, 240, 2)))
    samples.write_clip(folder / "C1_0001.mp4", seconds=1.0)
    clip = (folder / "C1_0001.mp4").read_bytes()
    (folder / "C1_0001.mp4").write_bytes(clip[: clip.index(b"moov") - 4])
    return folder


@pytest.fixture
def archive(tmp_path: Path, card: Path):
    with open_archive(tmp_path / "archive", create=True) as opened:
        new_job(opened, "Sallow", zone="Europe/Amsterdam")
        add_dump(opened, [card], workers=0)
        yield opened


def damaged_gaps(archive: Archive) -> dict[str, Gap]:
    return {gap.file: gap for gap in find_gaps(archive) if gap.kind is GapKind.DAMAGED}


def test_cut_off_photo_and_clip_without_index_are_gaps(archive: Archive):
    found = damaged_gaps(archive)

    assert sorted(found) == ["C1_0001.mp4", "P1_0001.jpg"]
    assert "the JPEG is damaged" in found["P1_0001.jpg"].why
    assert "nothing of it can be shown" in found["C1_0001.mp4"].why
    assert all("phone or card still has it" in gap.why and gap.mendable for gap in found.values())
    assert (found["P1_0001.jpg"].picture_id, found["C1_0001.mp4"].subject) == (1, "C1_0001.mp4")


def test_whole_one_of_the_same_name_closes_the_gap(archive: Archive, card: Path):
    (card / "P1_0001.jpg").write_bytes(samples.jpeg(samples.scene(320, 240, 1)))
    samples.write_clip(card / "C1_0001.mp4", seconds=1.0)

    add_dump(archive, [card], workers=0)

    assert damaged_files(archive) == []
    assert damaged_gaps(archive) == {}


def test_damaged_files_stand_in_a_list(archive: Archive):
    bench = Bench(archive.folder)

    said = bench.run("pictures", "--damaged").stdout.splitlines()
    listed = bench.json("pictures", "--damaged")

    assert [line.partition(":")[0] for line in said] == ["P1_0001.jpg", "C1_0001.mp4"]
    assert [one["file"] for one in listed] == ["P1_0001.jpg", "C1_0001.mp4"]
    assert [one["seen_in_part"] for one in listed] == [False, False]


def test_answer_settles_a_file_that_is_gone_for_good(archive: Archive):
    bench = Bench(archive.folder)
    for file in ("C1_0001.mp4", "P1_0001.jpg"):
        bench.run("gaps", "answer", file, "the phone is wiped", "--gap", "damaged picture")

    assert damaged_gaps(archive) == {}
    assert len(damaged_files(archive)) == 2
