"""A frame taken by hand: one step, that undo takes back with all that came of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from tests.built_once import copy_of
from tests.media import samples
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of(_make, tmp_path) / "archive")


def _make(folder: Path) -> None:
    bench = bench_with_job(folder / "archive")
    samples.write_clip(folder / "VID_7.mp4", seconds=3)
    bench.run("add", str(folder / "VID_7.mp4"))


def frames(bench: Bench) -> list[str]:
    return [one["file"] for one in bench.json("pictures")]


def test_frame_is_a_step_that_undo_takes_back_for_good(bench: Bench, tmp_path: Path):
    before, spots = frames(bench), bench.json("spots")
    bench.run("frame", "VID_7.mp4", "1.7")
    assert frames(bench) == sorted([*before, "VID_7.mp4@1.70s"])
    bench.run("pin", "17a", "VID_7.mp4@1.70s", "0.5", "0.5")
    bench.run("read", "--again")
    assert bench.run("undo", "--list").stdout.splitlines() == [
        "17a pinned on VID_7.mp4@1.70s",
        "frame at 1.7 s of VID_7.mp4 taken",
    ]

    bench.run("undo", "2")

    assert (frames(bench), bench.json("tags")) == (before, [])
    for words in (("sort",), ("rebuild",), ("add", str(tmp_path / "VID_7.mp4"))):
        bench.run(*words)
        assert frames(bench) == before
    assert [one["pictures"] for one in bench.json("spots")] == [one["pictures"] for one in spots]
    with open_archive(bench.folder) as archive:
        assert archive.store.rows("PRAGMA foreign_key_check") == []


def test_frame_that_is_there_already_is_no_step(bench: Bench):
    bench.run("frame", "VID_7.mp4", "1.7")
    bench.run("frame", "VID_7.mp4", "1.7")

    assert len(bench.run("undo", "--list").stdout.splitlines()) == 1


def test_frame_can_be_taken_again_after_undo(bench: Bench):
    bench.run("frame", "VID_7.mp4", "1.7")
    bench.run("undo")
    bench.run("frame", "VID_7.mp4", "1.7")

    assert "VID_7.mp4@1.70s" in frames(bench)
