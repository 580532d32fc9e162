"""What `add` says of files that come again, that are damaged, and that are too large to be shown."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.archive.layout import Layout
from tests.media import samples
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return bench_with_job(tmp_path / "archive")


def test_damaged_photo_is_named_again_when_it_comes_again(bench: Bench, tmp_path: Path):
    (tmp_path / "broken.jpg").write_bytes(samples.jpeg()[:2900])
    first = bench.run("add", "--later", str(tmp_path / "broken.jpg"))
    again = bench.run("add", "--later", str(tmp_path / "broken.jpg"))

    for done in (first, again):
        assert "check whether the phone still has it undamaged: broken.jpg" in done.stderr
        assert done.return_value == 1
    (known,) = bench.json("add", "--later", str(tmp_path / "broken.jpg"))["known"]
    assert known["trouble"]


def test_missing_original_that_is_back_is_named(bench: Bench, tmp_path: Path):
    for name in ("a.jpg", "b.jpg"):
        (tmp_path / name).write_bytes(samples.jpeg(samples.scene(96, 72, ord(name[0]))))
    cards = [str(tmp_path / name) for name in ("a.jpg", "b.jpg")]
    bench.run("add", "--later", *cards)
    originals = [path for path in Layout(bench.folder).originals.rglob("*.jpg")]
    originals[0].unlink()
    originals[1].unlink()

    told = " ".join(bench.run("add", "--later", cards[0]).stdout.split())

    assert told.endswith("It was here already. The missing original of a.jpg is back in the archive.")
    assert "nothing has changed" not in told
    assert bench.json("add", "--later", cards[1])["known"][0]["came_back"] is True
    assert "nothing has changed" in bench.run("add", "--later", *cards).stdout


def test_picture_with_a_giant_header_says_what_was_kept_and_why(bench: Bench, tmp_path: Path):
    png = bytearray(samples.png(samples.scene(16, 16)))
    png[16:24] = (65000).to_bytes(4, "big") * 2
    jpg = bytearray(samples.jpeg(samples.scene(16, 16)))
    size = jpg.index(b"\xff\xc0") + 5
    jpg[size : size + 4] = (65000).to_bytes(2, "big") * 2
    (tmp_path / "giga.png").write_bytes(png)
    (tmp_path / "giga.jpg").write_bytes(jpg)

    told = bench.run("add", "--later", str(tmp_path / "giga.png"), str(tmp_path / "giga.jpg")).stderr

    for name, most in (("giga.png", 110), ("giga.jpg", 260)):
        (line,) = (line for line in told.splitlines() if name in line)
        assert "the original is kept, without a picture to look at" in line
        assert f"65000 x 65000 pixels, more than the {most} million decoded here" in line
        assert "phone" not in line
