"""Columns stay columns with letters that are two wide."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.cells import cell_len

from tests.sallow_archive import Bench, bench_with_job

NUMBERS = ("17", "１８", "🔧9")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    bench = bench_with_job(tmp_path / "archive")
    for number in NUMBERS:
        bench.run("tag", number, "--kind", "hose", "--name", "hose")
        bench.run("off", number, "--at", "2025-10-18")
        bench.run("bag", number, "--for", number)
        bench.run("gaps", "answer", number, "it is so", "--gap", "never photographed")
    return bench


@pytest.mark.parametrize(
    ("words", "after"),
    [
        (("tags",), "hose"),
        (("log",), "off"),
        (("gaps", "--answered"), "never photographed"),
        (("bags",), "not counted"),
    ],
    ids=lambda words: " ".join(words) if isinstance(words, tuple) else "",
)
def test_what_follows_a_wide_number_stands_under_the_rest(bench: Bench, words: tuple[str, ...], after: str):
    lines = [line for line in bench.run(*words).stdout.splitlines() if any(number in line for number in NUMBERS)]
    starts = {cell_len(line[: line.index(after)]) for line in lines if after in line}

    assert len(lines) >= len(NUMBERS)
    assert len(starts) == 1
