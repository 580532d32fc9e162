"""Fluids back in, by command."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.errors import Misused
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    opened = bench_with_job(tmp_path / "archive")
    opened.run("drained", "engine oil", "7.5 l", "--into", "C2", "--looks", "black, sample kept")
    opened.run("drained", "coolant", "14 l", "--into", "C1")
    return opened


def open_at_start(bench: Bench) -> list[str]:
    return [line["why"] for line in bench.json("hold", "first-start")["open"]]


def test_hold_before_first_start_is_not_empty_while_oil_is_out(bench: Bench):
    assert [line.split(" (")[0] for line in open_at_start(bench)] == ["engine oil was drained", "coolant was drained"]
    for command in (("fit",), ("resume",)):
        assert "7.5 l into C2, black, sample kept" in bench.run(*command).stdout, command
    assert [one["what"] for one in bench.json("fit")["not_filled"]] == ["engine oil", "coolant"]
    assert bench.json("resume")["not_filled"][1] == "coolant (came out: 14 l into C1)"


def test_filled_bled_and_looked_at_close_it(bench: Bench):
    bench.run("filled", "engine oil", "7.5 l", "--grade", "15W-40", "--from", "new can", "--by", "deckhand")
    bench.run("filled", "coolant", "14 l")
    assert [line.split(", and")[0] for line in open_at_start(bench)] == [
        "engine oil is filled (7.5 l, 15W-40, from new can)", "coolant is filled (14 l)",
    ]  # fmt: skip
    bench.run("bled", "coolant")
    bench.run("leaks", "coolant", "--note", "none seen, cold")
    bench.run("leaks", "engine oil")

    assert open_at_start(bench) == []
    assert bench.json("filled")[0] == {
        "what": "engine oil", "drained": "7.5 l into C2, black, sample kept",
        "filled": "7.5 l, 15W-40, from new can", "left_out": "", "bled": False, "leaks_looked_at": True, "open": False,
    }  # fmt: skip
    assert "7.5 l engine oil  15W-40  from new can  by deckhand" in bench.run("log").stdout
    bench.run("undo")
    assert "leaks were looked at" in open_at_start(bench)[0]


def test_name_that_was_never_drained_is_told_and_closes_nothing(bench: Bench):
    told = bench.run("filled", "oil", "7.5 l").stderr

    assert told.startswith('"oil" is not among the fluids that were drained (engine oil, coolant)')
    assert open_at_start(bench)[0].startswith("engine oil was drained")


def test_left_out_on_purpose_needs_a_reason_and_is_told_so(bench: Bench):
    bench.run("filled", "coolant", "--left-out", "laid up dry")

    assert [line.split()[0] for line in open_at_start(bench)] == ["engine"]
    assert "coolant: drained 14 l into C1; left out: laid up dry" in bench.run("filled").stdout
    with pytest.raises(Misused, match="why it is left out"):
        bench.run("filled", "engine oil", "--left-out", " ")


def test_nothing_drained_is_said(tmp_path: Path):
    bench = bench_with_job(tmp_path / "archive")

    assert bench.run("filled").stdout == "No fluid is written down yet.\n"
    assert bench.run("filled", "oil").stderr == ""
