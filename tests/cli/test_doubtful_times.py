"""Times that cannot be right, and times in the hours of a clock change: marked, and in their place."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.built_once import copy_of
from tests.media import samples
from tests.sallow_archive import Bench, bench_with_job

TIMES = {
    "A_0001.jpg": "2038:01:19 04:14:07",
    "A_0006.jpg": "1904:01:01 00:00:00",
    "A_0007.jpg": "2025:10:26 01:30:00",
    "A_0008.jpg": "2025:10:26 02:30:00",
    "A_0009.jpg": "2025:10:26 03:30:00",
    "A_0010.jpg": "2026:03:29 02:30:00",
}
"""The first of a camera of its own; the others of one card, numbered as they were taken."""


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of(_make, tmp_path) / "archive")


def _make(folder: Path) -> None:
    bench = bench_with_job(folder / "archive")
    (folder / "card").mkdir()
    for seed, (name, time) in enumerate(TIMES.items()):
        exif = samples.exif_bytes(time=time, model="1" if name == "A_0001.jpg" else "F1", make="")
        (folder / "card" / name).write_bytes(samples.jpeg(samples.scene(96, 72, seed), exif=exif))
    added = bench.run("add", "--later", str(folder / "card")).stdout
    assert "taken from 2025-10-26 01:30 to 2026-03-29 02:30" in added
    assert "times that cannot be right: A_0001.jpg and 1 more" in added


def doubts(bench: Bench) -> dict[str, str]:
    return {one["file"]: one["doubt"] for one in bench.json("pictures") if one["doubt"]}


def test_impossible_times_are_marked_with_the_reason(bench: Bench):
    found = doubts(bench)

    assert "never set" in found["A_0006.jpg"]
    assert "still to come" in found["A_0001.jpg"]
    lines = bench.run("pictures").stdout.splitlines()
    for file in ("A_0001.jpg", "A_0006.jpg"):
        assert [found[file] in line for line in lines if file in line] == [True]
    assert "+00:20" not in "".join(lines)
    why = " ".join(gap["why"] for gap in bench.json("gaps") if gap["gap"] == "doubtful time")
    assert "A_0001.jpg: it was still to come" in why
    assert "A_0006.jpg: no camera like it" in why


def test_pictures_of_doubtful_hours_stand_where_they_were_likeliest_taken(bench: Bench):
    order = [one["file"] for one in bench.json("pictures")]

    assert order == ["A_0006.jpg", "A_0007.jpg", "A_0008.jpg", "A_0009.jpg", "A_0010.jpg", "A_0001.jpg"]


def test_doubt_ends_when_the_clock_is_put_right(bench: Bench):
    bench.run("clock", "1", "--picture", "A_0001.jpg", "--true", "2025-10-27 10:00")
    assert "A_0001.jpg" not in doubts(bench)
    bench.run("undo")
    bench.run("clock", "1", "--offset", "-4m")
    assert "still to come" in doubts(bench)["A_0001.jpg"]


@pytest.mark.parametrize(("true", "seconds"), [("02:30:00+02:00", 0), ("02:30:00+01:00", 0), ("02:26:00+01:00", -240)])
def test_clock_that_showed_a_repeated_hour_is_not_an_hour_wrong(bench: Bench, true: str, seconds: int):
    """02:30 was at 00:30 and at 01:30 UTC on that day: whichever is true, the camera that wrote it was right."""
    bench.run("clock", "F1", "--picture", "A_0008.jpg", "--true", f"2025-10-26T{true}")

    corrections = {one["camera"]: one["corrections"] for one in bench.json("clock")}
    assert [one["seconds"] for one in corrections["F1"]] == [seconds]
