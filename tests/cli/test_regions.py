"""`asfound regions`, as a person types it."""

from __future__ import annotations

from pathlib import Path

import pyexiv2
import pytest
from PIL import Image

from asfound.errors import Misused
from tests.media.samples import scene
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture(name="bench", scope="module")
def _bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    folder = tmp_path_factory.mktemp("regions")
    bench = bench_with_job(folder / "archive")
    (folder / "card").mkdir()
    exif = Image.Exif()
    exif[0x0112] = 8
    exif[0x010F], exif[0xA431] = "a maker", "a serial number"
    Image.fromarray(scene()).save(folder / "card" / "P1_0001.jpg", exif=exif)
    bench.run("add", str(folder / "card"))
    bench.run("tag", "17", "--kind", "hose", "--name", "bypass hose", "--place-a", "pump")
    bench.run("pin", "17a", "P1_0001.jpg", "0.3", "0.4")
    bench.run("pin", "17b", "P1_0001.jpg", "0.6", "0.7", "0.1", "0.2")
    return bench


def test_each_pinned_picture_has_a_file_with_its_pins(bench: Bench, tmp_path: Path) -> None:
    made = bench.json("regions", str(tmp_path))

    text = (tmp_path / "P1_0001.jpg.xmp").read_text(encoding="utf-8-sig")
    assert made == {"files": [str(tmp_path / "P1_0001.jpg.xmp")], "pins": 2, "left": {}}
    assert "bypass hose, pump" in text
    assert text.index("17A") < text.index("17B")


def test_copies_are_upright_and_tell_nothing_of_the_camera(bench: Bench, tmp_path: Path) -> None:
    bench.run("regions", str(tmp_path), "--copies")

    high, wide = scene().shape[:2]
    with pyexiv2.Image(str(tmp_path / "P1_0001.jpg")) as copy:
        assert (copy.get_pixel_width(), copy.get_pixel_height()) == (high, wide)
        assert copy.read_exif()["Exif.Image.Orientation"] == "1"
        assert "a maker" not in str(copy.read_exif())
        assert copy.read_xmp()["Xmp.mwg-rs.Regions/mwg-rs:AppliedToDimensions/stDim:w"] == str(high)


def test_what_is_there_already_is_written_over_only_when_that_is_said(bench: Bench, tmp_path: Path) -> None:
    (tmp_path / "P1_0001.jpg.xmp").write_bytes(b"mine")

    done = bench.run("regions", str(tmp_path))
    assert done.return_value == 1
    assert "--replace" in done.stderr
    assert (tmp_path / "P1_0001.jpg.xmp").read_bytes() == b"mine"

    assert bench.run("regions", str(tmp_path), "--replace").return_value == 0
    with pytest.raises(Misused, match="There is no folder"):
        bench.run("regions", str(tmp_path / "none"))
