"""`asfound read` as a person and as a script meets it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from asfound.cli.main import Chosen, main
from asfound.core.read.markers import draw_marker
from tests.actions.test_reading import write_photo
from tests.built_once import copy_of
from tests.core.read.drawn import draw_flag

MEDIA = Path(__file__).parents[2] / "sample_media"
FIXED_KEYS = {"number", "end", "how", "x", "y", "w", "h", "confidence"}


class Bench:
    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def run(self, *words: str) -> Result:
        return CliRunner().invoke(
            main,
            ["--archive", str(self.folder), *words],
            obj=Chosen(),
            standalone_mode=False,
            catch_exceptions=False,
        )

    def json(self, *words: str) -> Any:
        return json.loads(self.run(*words, "--json").stdout)


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """An archive with a marker and a flag in two pictures."""
    return Bench(copy_of(_make, tmp_path) / "archive")


def _make(folder: Path) -> None:
    card = folder / "card"
    card.mkdir()
    write_photo(card, "marker.jpg", draw_marker(293, 6))
    write_photo(card, "flag.jpg", draw_flag("27"))
    opened = Bench(folder / "archive")
    opened.run("job", "new", "Sallow")
    opened.run("add", "--later", str(card))


def test_document_has_the_fixed_keys(bench: Bench):
    (marker,) = bench.json("read", "marker.jpg")

    assert marker.keys() >= FIXED_KEYS
    assert (marker["number"], marker["end"], marker["how"]) == ("147", "B", "marker")
    assert abs(marker["x"] - 0.5) < 0.02
    assert abs(marker["y"] - 0.5) < 0.02
    (written,) = bench.json("read", "flag.jpg")
    assert (written["number"], written["end"], written["how"]) == ("27", None, "written")


def test_all_pictures_are_read_when_none_is_named(bench: Bench):
    assert {each["file"]: each["number"] for each in bench.json("read")} == {"marker.jpg": "147", "flag.jpg": "27"}


def test_people_get_one_line_for_each_number_and_the_next_move(bench: Bench):
    bench.run("tag", "147")

    said = bench.run("read").stdout

    assert "marker.jpg  147B  " in said
    assert "proposed" in said
    assert "no tag 27 is known" in said
    assert "asfound confirm" in said


def test_reading_tags_and_pins_nothing(bench: Bench):
    bench.run("read")

    assert bench.json("tags") == []
    bench.run("tag", "147")
    bench.run("read")
    assert [(pin["end"], pin["source"], pin["confirmed"]) for pin in bench.json("pins", "147")] == [
        ("B", "read", False)
    ]
    assert "read" not in bench.run("undo").stdout


def test_refused_reading_stays_refused(bench: Bench):
    bench.run("tag", "147")
    bench.run("read")
    bench.run("reject", "147b", "marker.jpg")

    assert bench.json("read", "marker.jpg", "--again")[0]["answer"] == "rejected"
    assert bench.json("pins", "147") == []


def test_file_outside_the_archive_can_be_read(bench: Bench, tmp_path: Path):
    photo = write_photo(tmp_path, "today.jpg", draw_marker(0, 6))

    (reading,) = bench.json("read", str(photo))

    assert (reading["picture"], reading["file"], reading["number"], reading["end"]) == (None, "today.jpg", "1", "A")
    assert len(bench.json("pictures")) == 2


def test_picture_that_is_not_there_is_misuse(bench: Bench):
    from asfound.errors import NotFound

    with pytest.raises(NotFound, match="nowhere"):
        bench.run("read", "nowhere.jpg")


def test_picture_that_cannot_be_opened_is_named_on_stderr_and_the_rest_is_read(bench: Bench):
    bench.run("read")
    shutil.rmtree(bench.folder / "originals")

    result = bench.run("read", "--again", "--json")

    assert result.return_value == 1
    assert "marker.jpg" in result.stderr
    assert len(json.loads(result.stdout)) == 2


def test_tape_of_the_sample_pictures_is_read(tmp_path: Path):
    """The renderer wrote 12 and 16 on the flags of this picture; `sample_media/manifest.json` says so."""
    bench = Bench(tmp_path / "archive")
    bench.run("job", "new", "Sallow")
    truth = {i["file"]: i for i in json.loads((MEDIA / "manifest.json").read_text())["images"]}["P1_0029.jpg"]
    on_flags = {str(flag["tag"]) for flag in truth["flags"]}

    said = {each["number"] for each in bench.json("read", str(MEDIA / "P1_0029.jpg"))}

    assert {"12", "16"} <= on_flags
    assert {"12", "16"} <= said <= on_flags
