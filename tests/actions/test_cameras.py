"""Two cameras that are one: pictures, clocks and later dumps follow, and undo takes it back."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.errors import Misused, NotFound
from tests.built_once import copy_of
from tests.media import samples
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """A phone that was given another name in between, and a clip that tells of no camera."""
    return Bench(copy_of(_make, tmp_path) / "archive")


def _make(folder: Path) -> None:
    bench = bench_with_job(folder / "archive")
    add(bench, folder / "one", "P1_0001.jpg", "2025:10:18 09:01:00", "P1")
    add(bench, folder / "two", "P1_0002.jpg", "2025:10:18 09:05:00", "Renamed")
    samples.write_clip(folder / "VID_7.mp4", seconds=1)
    bench.run("add", "--later", str(folder / "VID_7.mp4"))


def add(bench: Bench, folder: Path, name: str, time: str, model: str) -> None:
    folder.mkdir()
    exif = samples.exif_bytes(time=time, make="", model=model)
    (folder / name).write_bytes(samples.jpeg(samples.scene(96, 72, len(name) + int(time[-5:-3])), exif=exif))
    bench.run("add", "--later", str(folder))


def cameras(bench: Bench) -> dict[str, tuple[list[str], int, int]]:
    return {one["camera"]: (one["also"], one["photos"], one["clips"]) for one in bench.json("camera")}


def taken(bench: Bench) -> dict[str, str]:
    return {one["file"]: one["taken"][11:19] for one in bench.json("pictures") if one["file"].endswith("jpg")}


def test_joined_cameras_are_one_and_have_one_clock(bench: Bench):
    assert cameras(bench) == {"P1": ([], 1, 0), "Renamed": ([], 1, 0), "VID": ([], 0, 1)}

    bench.run("camera", "join", "P1", "Renamed")
    bench.run("camera", "join", "P1", "VID")
    bench.run("clock", "Renamed", "--offset", "-4m")

    assert cameras(bench) == {"P1": (["Renamed", "VID"], 2, 1)}
    assert taken(bench) == {"P1_0001.jpg": "08:57:00", "P1_0002.jpg": "09:01:00"}
    assert bench.json("clock")[0]["corrections"] == [{"since": None, "seconds": -240.0}]


def test_correction_said_before_follows_unless_the_first_has_its_own(bench: Bench):
    bench.run("clock", "Renamed", "--offset", "-4m")
    bench.run("camera", "join", "P1", "Renamed")
    assert taken(bench) == {"P1_0001.jpg": "08:57:00", "P1_0002.jpg": "09:01:00"}

    bench.run("undo")
    assert taken(bench) == {"P1_0001.jpg": "09:01:00", "P1_0002.jpg": "09:01:00"}
    bench.run("clock", "P1", "--offset", "+1m")
    bench.run("camera", "join", "P1", "Renamed")
    assert taken(bench) == {"P1_0001.jpg": "09:02:00", "P1_0002.jpg": "09:06:00"}


def test_offset_of_0_takes_the_correction_away(bench: Bench):
    bench.run("clock", "P1", "--offset", "-4m")
    bench.run("clock", "P1", "--offset", "0")

    assert "P1: not corrected" in bench.run("clock").stdout
    assert [one["corrections"] for one in bench.json("clock") if one["camera"] == "P1"] == [[]]
    bench.run("undo")
    assert "P1: -4m" in bench.run("clock").stdout


def test_clock_found_right_by_a_picture_says_so(bench: Bench):
    done = bench.run("clock", "P1", "--picture", "P1_0001.jpg", "--true", "2025-10-18T09:01:00")

    assert "P1: right" in done.stdout


@pytest.mark.parametrize(
    ("true_time", "told"),
    [("2025-10-26T02:30", "02:30:00.02:00 or"), ("2026-03-29T02:30", "never came"), ("2099-01-01", "still to come")],
)
def test_true_time_that_nobody_can_mean_is_asked_back(bench: Bench, true_time: str, told: str):
    with pytest.raises(Misused, match=told):
        bench.run("clock", "P1", "--picture", "P1_0001.jpg", "--true", true_time)

    assert "P1: not corrected" in bench.run("clock").stdout


def test_undo_and_split_take_it_apart(bench: Bench):
    apart = cameras(bench)
    bench.run("camera", "join", "P1", "Renamed")
    bench.run("camera", "join", "VID", "P1")
    assert cameras(bench) == {"VID": (["P1", "Renamed"], 2, 1)}

    bench.run("camera", "split", "renamed")
    assert cameras(bench) == {"Renamed": ([], 1, 0), "VID": (["P1"], 1, 1)}
    for _step in range(3):
        bench.run("undo")
    assert cameras(bench) == apart


def test_later_dump_of_the_other_name_is_the_same_camera(bench: Bench, tmp_path: Path):
    bench.run("camera", "join", "P1", "Renamed")

    add(bench, tmp_path / "three", "P1_0003.jpg", "2025:10:18 10:09:00", "Renamed")

    assert cameras(bench)["P1"] == (["Renamed"], 3, 0)


def test_what_cannot_be_joined_or_split_is_told(bench: Bench):
    bench.run("camera", "join", "P1", "Renamed")
    with pytest.raises(Misused, match="one camera already"):
        bench.run("camera", "join", "P1", "Renamed")
    with pytest.raises(NotFound, match="no camera"):
        bench.run("camera", "join", "P1", "K9")
    with pytest.raises(NotFound, match="No camera was joined"):
        bench.run("camera", "split", "VID")
