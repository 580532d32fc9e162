"""`asfound copy` and `asfound show`, as a person types them."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from asfound.errors import Misused, NotFound
from tests.media.samples import scene
from tests.sallow_archive import Bench, bench_with_job

GPS_IFD = 0x8825


@pytest.fixture(name="bench", scope="module")
def _bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    folder = tmp_path_factory.mktemp("copy")
    bench = bench_with_job(folder / "archive")
    card = folder / "card"
    card.mkdir()
    exif = Image.Exif()
    exif[0x0112] = 6
    exif.get_ifd(0x8769)[0x9003] = "2025:10:11 09:57:30"
    exif.get_ifd(GPS_IFD)[2] = (52.0, 22.0, 0.0)
    Image.fromarray(scene()).save(card / "P1_0001.jpg", exif=exif)
    bench.run("add", str(card))
    bench.run("tag", "17", "--kind", "hose", "--name", "bypass hose")
    bench.run("pin", "17a", "P1_0001.jpg", "0.3", "0.4")
    return bench


def test_the_as_found_picture_of_an_end_gets_a_name_of_its_own(bench: Bench, tmp_path: Path) -> None:
    [made] = bench.json("copy", "17a", str(tmp_path), "--pin")

    copied = Image.open(tmp_path / "17A_2025-10-11.jpg")
    high, wide = scene().shape[:2]
    assert made["file"] == str(tmp_path / "17A_2025-10-11.jpg")
    assert made["guess"] is None
    assert copied.size == (high, wide)
    assert not copied.getexif().get_ifd(GPS_IFD)


def test_twice_is_once_and_another_file_of_the_name_stays(bench: Bench, tmp_path: Path) -> None:
    bench.run("copy", "17", str(tmp_path))
    bench.run("copy", "17", str(tmp_path))
    assert [path.name for path in tmp_path.iterdir()] == ["17A_2025-10-11.jpg"]

    (tmp_path / "17A_2025-10-11.jpg").write_bytes(b"mine")
    bench.run("copy", "17", str(tmp_path))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["17A_2025-10-11.jpg", "17A_2025-10-11_2.jpg"]
    assert (tmp_path / "17A_2025-10-11.jpg").read_bytes() == b"mine"


def test_a_picture_is_copied_by_its_name(bench: Bench, tmp_path: Path) -> None:
    bench.run("copy", "P1_0001.jpg", str(tmp_path))

    assert (tmp_path / "P1_0001_2025-10-11.jpg").exists()


def test_an_end_that_no_picture_shows_is_said_so(bench: Bench, tmp_path: Path) -> None:
    with pytest.raises(NotFound, match="No picture shows 17b as it was"):
        bench.run("copy", "17b", str(tmp_path))
    with pytest.raises(Misused, match="There is no folder"):
        bench.run("copy", "17a", str(tmp_path / "none"))


def test_without_a_viewer_the_path_is_shown_and_the_way_to_a_copy(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("asfound.cli.commands.show.open_in_viewer", lambda path, environ: False)

    done = bench.run("show", "17a")

    assert done.return_value == 1
    assert "P1_0001.jpg" in done.stdout
    assert "asfound copy 17a FOLDER" in done.stderr


def test_a_viewer_is_given_the_original(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[Path] = []

    def open_it(path: Path, environ: object) -> bool:
        opened.append(path)
        return True

    monkeypatch.setattr("asfound.cli.commands.show.open_in_viewer", open_it)

    assert bench.run("show", "17").return_value == 0
    assert [path.parent.parent.name for path in opened] == ["originals"]
