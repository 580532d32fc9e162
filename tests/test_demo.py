"""The demo walk: its tables are the scenario's without the answers, and its commands are understood."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from asfound.cli.commands.demo import read_script
from asfound.cli.main import Chosen, main
from asfound.core.log.record import is_answered
from tests.scenario import load_sallow, read_rows

MEDIA = Path(__file__).parents[1] / "sample_media"
ANSWERS = {"a_iec", "b_iec"}
REWORDED = {"snag", "name", "size"}
"""Columns that the demo words otherwise: a snag by its number alone, a count as a word."""
NEEDS_PICTURES = {"pin", "confirm", "clock", "where", "walk"}


@pytest.mark.parametrize(("table", "scenario"), [("tags", "scenario"), ("bags", "bags"), ("snags", "snags")])
def test_the_tables_are_the_scenario_without_its_answers(table: str, scenario: str):
    with (MEDIA / f"sallow-{table}.csv").open(encoding="utf-8", newline="") as lines:
        brought = list(csv.DictReader(lines))
    wanted = [{key: row[key] for key in row if key not in ANSWERS} for row in read_rows(scenario)]
    assert [row.keys() for row in brought] == [row.keys() for row in wanted]
    for row, other in zip(brought, wanted, strict=True):
        assert {key: row[key] for key in row.keys() - REWORDED} == {key: other[key] for key in row.keys() - REWORDED}


def test_everything_that_needs_no_sorting_runs_from_end_to_end(tmp_path: Path):
    folder = tmp_path / "media"
    folder.mkdir()
    for name in ("sallow-tags.csv", "sallow-bags.csv", "sallow-snags.csv", "P1_0001.jpg"):
        shutil.copy(MEDIA / name, folder)
    lines = [
        line
        for line in read_script(MEDIA / "demo.txt")
        if line.split()[0] not in NEEDS_PICTURES and not line.startswith("gaps answer")  # what pins leave open
    ]
    (folder / "demo.txt").write_text("\n".join(lines), encoding="utf-8")
    done = CliRunner().invoke(
        main, ["--archive", str(tmp_path / "archive"), "demo", str(folder), "--no-screens"], obj=Chosen()
    )
    assert done.exit_code == 0, done.output
    assert "46 rows: 46 added" in done.output
    assert "Number 12 is on 2 things" in done.output
    assert "18 and 26 are by hand only" in done.output
    assert "29 (boost sense line)" in done.output
    assert "29 (boost sense line), sent to machine shop on 2026-04-18, promised for 2026-04-30" in done.output
    assert "coolant (came out: 14 l into C1, green)" in done.output


def test_pins_are_of_ends_that_their_pictures_show():
    """By the truth of the renderer: the joint is in sight, and within a hair of where it says."""
    truth = {
        (picture["file"], one["id"]): one
        for picture in json.loads((MEDIA / "manifest.json").read_text())["images"]
        if picture["state"] in ("found", "tagged")
        for one in picture["connectors"]
    }
    with (MEDIA / "sallow-pins.csv").open(encoding="utf-8", newline="") as lines:
        pins = list(csv.DictReader(lines))
    assert len(pins) == 56
    for pin in pins:
        number = {"12.1": "12", "12.2": "12x"}.get(pin["tag"], pin["tag"])
        one = truth[pin["picture"], f"{number}{pin['end']}"]
        assert one["visible"]
        assert (float(pin["x"]), float(pin["y"])) == pytest.approx((one["x"], one["y"]), abs=1e-3)


def test_forty_things_have_both_ends_by_a_picture_or_a_reason():
    """Of 46: ends that are pinned, those that want no picture, and those of which the demo's answers say why."""
    with (MEDIA / "sallow-pins.csv").open(encoding="utf-8", newline="") as lines:
        told = {(row["tag"], row["end"]) for row in csv.DictReader(lines)}
    for line in read_script(MEDIA / "demo.txt"):
        if line.startswith("gaps answer"):
            for about in line.split()[2].split(","):
                letters = about[-1].upper() if about[-1] in "ab" else "AB"
                told |= {(about.rstrip("ab"), letter) for letter in letters}
    record = load_sallow()
    whole = [
        tag.number
        for tag in record.tags
        if all(
            {(tag.number, letter), (f"{tag.number}.{tag.order}", letter)} & told
            or is_answered(record.end(tag, letter).place)
            for letter in record.letters(tag)
        )
    ]
    assert len(whole) == 40
    assert {tag.number for tag in record.tags} - set(whole) == {"8", "17", "23", "29", "41", "44"}
