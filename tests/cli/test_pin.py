"""A pin by command: what makes a new tag, and boxes that are none."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.errors import Misused
from tests.built_once import copy_of
from tests.media import samples
from tests.sallow_archive import Bench, bench_with_job

PICTURE = "P1_0001.jpg"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(copy_of(_make, tmp_path) / "archive")


def _make(folder: Path) -> None:
    bench = bench_with_job(folder / "archive")
    (folder / PICTURE).write_bytes(samples.jpeg(samples.scene(96, 72)))
    bench.run("add", "--later", str(folder / PICTURE))
    bench.run("tag", "17", "--kind", "hose")


@pytest.mark.parametrize(
    "box", [("0.9", "0.9", "0.8", "0.8"), ("0.5", "0.05", "0.2", "0.2"), ("0.1", "0.5", "0.3", "0.1")]
)
def test_box_that_runs_out_of_the_picture_is_refused(bench: Bench, box: tuple[str, ...]):
    with pytest.raises(Misused, match=r"runs out of P1_0001\.jpg.*at most"):
        bench.run("pin", "17a", PICTURE, *box)

    assert bench.json("pins", "17a") == []


def test_box_of_one_side_is_refused(bench: Bench):
    with pytest.raises(Misused, match="both W and H"):
        bench.run("pin", "17a", PICTURE, "0.5", "0.5", "0.1")

    assert bench.json("pins", "17a") == []


@pytest.mark.parametrize(
    "box", [("0.1", "0.1", "0.2", "0.2"), ("0.5", "0.5", "1", "1"), ("0.333", "0.9", "0.666", "0.2")]
)
def test_box_up_to_the_edge_is_taken(bench: Bench, box: tuple[str, ...]):
    bench.run("pin", "17a", PICTURE, *box)

    assert [bench.json("pins", "17a")[0][name] for name in "wh"] == pytest.approx([float(box[2]), float(box[3])])


@pytest.mark.parametrize(
    ("typed", "told"), [("17c", "17 has ends a and b only"), ("a", "no digit"), ("grab", "no digit")]
)
def test_slip_makes_no_tag(bench: Bench, typed: str, told: str):
    with pytest.raises(Misused, match=told):
        bench.run("pin", typed, PICTURE, "0.5", "0.5")

    assert [tag["tag"] for tag in bench.json("tags")] == ["17"]


@pytest.mark.parametrize(
    ("typed", "told"),
    [("47b", "47 is a new tag; 47b was read as its end B"), ("48", "48 is a new tag; this is its end A")],
)
def test_new_tag_is_told_with_how_it_was_read(bench: Bench, typed: str, told: str):
    assert told in " ".join(bench.run("pin", typed, PICTURE, "0.5", "0.5").stdout.split())

    bench.run("undo")
    document = bench.json("pin", typed, PICTURE, "0.5", "0.5")

    assert (document["tag"], document["new_tag"]) == (typed[:2], True)
    assert bench.json("pin", typed, PICTURE, "0.4", "0.5")["new_tag"] is False
