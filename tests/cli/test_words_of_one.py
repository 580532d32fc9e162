"""One of a thing is told as one."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from tests.built_once import copy_of
from tests.media import samples
from tests.sallow_archive import Bench, bench_with_job

ONE_OF_MANY = re.compile(r"\b1 (?:pictures|photos|clips|frames|rows|gaps|tags|spots|pairs|numbers|neighbours|were)\b")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of(_make, tmp_path) / "archive")


def _make(folder: Path) -> None:
    bench = bench_with_job(folder / "archive")
    for number in (1, 2):
        exif = samples.exif_bytes(time=f"2025:10:18 09:0{number}:00", model="F1", make="")
        (folder / f"P{number}_0001.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, number), exif=exif))
    bench.run("add", str(folder / "P1_0001.jpg"))


def said(bench: Bench, *words: str) -> str:
    return " ".join(bench.run(*words).output.split())


def test_spot_of_one_picture(bench: Bench, tmp_path: Path):
    for step in range(3):
        image = np.roll(samples.scene(240, 180, 5), 2 * step, axis=1)
        (tmp_path / f"P3_000{step}.jpg").write_bytes(samples.jpeg(image))
    bench.run("add", *(str(tmp_path / f"P3_000{step}.jpg") for step in range(3)))
    (spot,) = (str(one["spot"]) for one in bench.json("spots"))

    assert "1 picture moved to no spot." in said(bench, "spot", "move", "P3_0002.jpg", "none")
    assert f"1 picture moved to spot {spot}." in said(bench, "spot", "move", "P3_0002.jpg", spot)
    assert "made with 1 picture." in said(bench, "spot", "split", spot, "P3_0002.jpg")
    (alone,) = (str(one["spot"]) for one in bench.json("spots") if len(one["pictures"]) == 1)
    assert f"Spot {alone} with its 1 picture is accepted" in said(bench, "spot", "accept", alone)


def test_added_again(bench: Bench, tmp_path: Path):
    assert "It was here already; nothing has changed." in said(bench, "add", str(tmp_path / "P1_0001.jpg"))
    both = said(bench, "add", str(tmp_path / "P1_0001.jpg"), str(tmp_path / "P2_0001.jpg"))
    assert "1 was here already" in both


def test_lists_of_one(bench: Bench, tmp_path: Path):
    (tmp_path / "tags.csv").write_text("tag,kind\n17,hose\n")
    told = [said(bench, *words) for words in (("tags", "import", str(tmp_path / "tags.csv")), ("screens",), ("gaps",))]

    assert told[0].startswith("17 added 1 row: 1 added.")
    assert "1 photo, 0 clips with 0 frames taken" in told[1]
    assert "1 tag, off and not yet back: none" in told[1]
    assert not any(map(ONE_OF_MANY.search, told))
