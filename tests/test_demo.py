"""The demo walk: its tables are the scenario's without the answers, and its commands are understood."""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from asfound.cli.commands.demo import read_script
from asfound.cli.main import Chosen, main
from tests.scenario import read_rows

MEDIA = Path(__file__).parents[1] / "sample_media"
ANSWERS = {"a_iec", "b_iec"}
NEEDS_PICTURES = {"pin", "confirm", "clock", "where"}


@pytest.mark.parametrize(("table", "scenario"), [("tags", "scenario"), ("bags", "bags"), ("snags", "snags")])
def test_the_tables_are_the_scenario_without_its_answers(table: str, scenario: str):
    with (MEDIA / f"sallow-{table}.csv").open(encoding="utf-8", newline="") as lines:
        brought = list(csv.DictReader(lines))
    assert brought == [{key: row[key] for key in row if key not in ANSWERS} for row in read_rows(scenario)]


def test_everything_that_needs_no_sorting_runs_from_end_to_end(tmp_path: Path):
    folder = tmp_path / "media"
    folder.mkdir()
    for name in ("sallow-tags.csv", "sallow-bags.csv", "sallow-snags.csv", "P1_0001.jpg"):
        shutil.copy(MEDIA / name, folder)
    lines = [line for line in read_script(MEDIA / "demo.txt") if line.split()[0] not in NEEDS_PICTURES]
    (folder / "demo.txt").write_text("\n".join(lines), encoding="utf-8")
    done = CliRunner().invoke(
        main, ["--archive", str(tmp_path / "archive"), "demo", str(folder), "--no-screens"], obj=Chosen()
    )
    assert done.exit_code == 0, done.output
    assert "46 rows: 46 added" in done.output
    assert "Number 12 is on 2 things" in done.output
    assert "18 and 26 are by hand only" in done.output
    assert "29 (boost sense line)" in done.output
