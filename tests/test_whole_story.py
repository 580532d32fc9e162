"""The whole job on real files, through the command line: dump, sort, pin, find, log, gaps, undo.

The pictures are some of `sample_media`; its truth (`manifest.json`, from the renderer) says where each tag end lies.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from asfound.cli.main import Chosen, main

MEDIA = Path(__file__).parents[1] / "sample_media"
TRUTH = json.loads((MEDIA / "manifest.json").read_text())
IMAGES = {image["file"]: image for image in TRUTH["images"]}
SPOTS = ("s04", "s06")
WITHIN = 0.05


def files_of(spot: str) -> list[str]:
    return [name for name, image in IMAGES.items() if image["spot"] == spot and image["state"] != "query"]


def place_of(name: str, tag_end: str) -> tuple[float, float] | None:
    for connector in IMAGES[name]["connectors"]:
        if connector["id"] == tag_end and connector["visible"]:
            return connector["x"], connector["y"]
    return None


class Bench:
    """The command line over one archive."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def run(self, *words: str, ok: tuple[int, ...] = (0,)) -> str:
        try:
            result = CliRunner().invoke(
                main,
                ["--archive", str(self.folder), *words],
                obj=Chosen(),
                standalone_mode=False,
                catch_exceptions=False,
            )
        except SystemExit as leaving:  # a usage error
            raise AssertionError(words) from leaving
        status = result.return_value if isinstance(result.return_value, int) else result.exit_code
        assert status in ok, (words, status, result.output)
        return result.stdout

    def json(self, *words: str) -> Any:
        return json.loads(self.run(*words, "--json", ok=(0, 1)))


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    """An archive with two spots dumped and sorted."""
    folder = tmp_path_factory.mktemp("story")
    card = folder / "card"
    card.mkdir()
    for name in (name for spot in SPOTS for name in files_of(spot)):
        shutil.copy2(MEDIA / name, card / name)
    opened = Bench(folder / "archive")
    opened.run("job", "new", "Sallow", "--zone", "Europe/Amsterdam")
    opened.run("add", str(card))
    return opened


def test_same_card_again_changes_nothing(bench: Bench):
    before = bench.json("spots")

    again = bench.json("add", str(bench.folder.parent / "card"))

    assert again["added"] == []
    assert len(again["known"]) == sum(len(files_of(spot)) for spot in SPOTS)
    assert bench.json("spots") == before


def test_times_are_those_that_the_cameras_wrote(bench: Bench):
    for picture in bench.json("pictures"):
        assert picture["taken"].startswith(IMAGES[picture["file"]]["exif_time"][:19])


def test_pictures_of_one_place_are_one_spot(bench: Bench):
    spots = [{picture["file"] for picture in spot["pictures"]} for spot in bench.json("spots")]

    for found in spots:
        assert len({IMAGES[name]["spot"] for name in found}) == 1, "no spot holds two places"
    assert max(len(found) for found in spots) >= 4


def test_pairs_show_one_place_in_two_states(bench: Bench):
    pairs = bench.json("pairs")

    assert pairs
    for pair in pairs:
        before, after = IMAGES[pair["before"]["file"]], IMAGES[pair["after"]["file"]]
        assert before["spot"] == after["spot"]
        assert before["state"] != after["state"]


def test_pin_is_carried_to_where_the_thing_is_and_to_where_it_was(bench: Bench):
    """Also on pictures where the hose is off: the joint's place is carried, not the hose's look."""
    home = next(name for name in files_of("s04") if IMAGES[name]["state"] == "found" and place_of(name, "24B"))
    x, y = place_of(home, "24B") or (0, 0)

    carried = bench.json("pin", "24b", home, str(x), str(y))["carried"]

    assert {IMAGES[pin["file"]]["state"] for pin in carried} & {"off", "refit"}
    for pin in carried:
        truth = place_of(pin["file"], "24B")
        assert truth is not None
        assert abs(pin["x"] - truth[0]) < WITHIN
        assert abs(pin["y"] - truth[1]) < WITHIN


def test_find_answers_with_a_picture_from_before_it_came_off(bench: Bench):
    bench.run("off", "24", "--bag", "B6", "--at", "2025-10-18T10:00:00+02:00")

    found = {each["end"]: each for each in bench.json("find", "24")}

    assert found["B"]["as_found"]["taken"] < "2025-10-18T10:00"
    assert found["B"]["bag"] == "B6"
    assert found["A"]["as_found"] is None


def test_rejected_proposal_does_not_come_back(bench: Bench):
    proposed = next(pin for pin in bench.json("pins", "24b") if not pin["confirmed"])

    bench.run("reject", "24b", proposed["file"])
    bench.run("rebuild")

    assert proposed["file"] not in {pin["file"] for pin in bench.json("pins", "24b")}


def test_corrections_of_spots_outlive_a_new_sort(bench: Bench):
    spot = max(bench.json("spots"), key=lambda each: len(each["pictures"]))
    moved = spot["pictures"][0]["file"]

    bench.run("spot", "split", str(spot["spot"]), moved)
    bench.run("spot", "name", str(spot["spot"]), "thermostat")
    bench.run("rebuild")

    after = {each["spot"]: {p["file"] for p in each["pictures"]} for each in bench.json("spots")}
    assert moved not in after[spot["spot"]]
    assert {moved} in after.values()
    names = {each["spot"]: each["name"] for each in bench.json("spots")}
    assert names[spot["spot"]] == "thermostat"


def test_gaps_name_the_end_that_nobody_photographed(bench: Bench):
    gaps = [(gap["gap"], gap["tag"], gap["end"]) for gap in bench.json("gaps")]

    assert ("one end only", "24", "A") in gaps


def test_where_finds_the_place_of_a_picture_of_today(bench: Bench):
    today = next(name for name, image in IMAGES.items() if image["state"] == "refit" and image["spot"] == "s04")

    answers = bench.json("where", today)

    assert answers
    assert IMAGES[answers[0]["file"]]["spot"] == "s04"
    assert set(answers[0]) >= {"picture", "file", "spot", "inliers", "score", "tags"}


def test_photo_of_another_place_looks_like_nothing_here(bench: Bench):
    stranger = next(name for name, image in IMAGES.items() if image["state"] == "unrelated" and name.endswith(".jpg"))

    assert bench.json("where", str(MEDIA / stranger)) == []


def test_undo_takes_back_what_was_entered_last(bench: Bench):
    bench.run("tag", "99", "--kind", "wire", "--name", "to be taken back")
    assert any(tag["tag"] == "99" for tag in bench.json("tags"))

    bench.run("undo")

    assert not any(tag["tag"] == "99" for tag in bench.json("tags"))
