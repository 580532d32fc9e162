"""A time that cannot well be right is taken down as said, and told."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    opened = bench_with_job(tmp_path / "archive")
    opened.run("tag", "60", "--kind", "hose")
    return opened


def test_off_long_before_the_job_is_told(bench: Bench):
    assert "more than a year before this job" in bench.run("off", "60", "--at", "2015-10-18").stderr


def test_refitted_before_it_came_off_is_told(bench: Bench):
    bench.run("off", "60", "--at", "2025-10-18 14:00")

    assert "came off on 2025-10-18 14:00" in bench.run("refitted", "60", "--at", "2025-10-18 09:00").stderr
    assert "after this" not in bench.run("refitted", "60", "--at", "2025-10-19 09:00").stderr
