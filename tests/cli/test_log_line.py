"""`asfound log --line`."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from asfound.errors import AskBack
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    made = bench_with_job(tmp_path / "archive")
    for number in ("17", "18", "19"):
        made.run("tag", number, "--kind", "hose")
    return made


def test_lines_written_are_printed_as_the_log_prints_them(bench: Bench):
    written = json.loads(bench.run("log", "--line", "took 17 to 19 off, bolts in B4", "--json").stdout)

    assert [(one["tag"], one["event"], one["bag"]) for one in written] == [(n, "off", "B4") for n in ("17", "18", "19")]
    assert written == json.loads(bench.run("log", "--json").stdout)


def test_what_can_mean_two_things_is_asked_back_with_both(bench: Bench):
    with pytest.raises(AskBack, match="17: off; 17: broken; or: 17: off, snapped"):
        bench.run("log", "--line", "17 off, snapped", "--json")
    assert json.loads(bench.run("log", "--json").stdout) == []


def test_a_snag_has_the_keys_and_no_line_of_the_log(bench: Bench):
    (snag,) = json.loads(bench.run("log", "--line", "snag 17 clamp rusted", "--json").stdout)

    assert (snag["line"], snag["event"], snag["tag"], snag["what"]) == (None, "snag", "17", "clamp rusted")
