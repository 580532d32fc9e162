"""A disk that is full, broken or no longer ours, from any point of a piece of work on: told of, and nothing is lost.

All points:  python -m tests.faults.crash_matrix --failing
"""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from tests.faults.crash_matrix import FAULTS, WORKS, fail_and_look, points_of

POINTS = 4

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="no process can be forked here")


@pytest.mark.parametrize("name", WORKS)
def test_work_on_a_disk_that_fails_loses_nothing(name: str, tmp_path: Path):
    (tmp_path / "count").mkdir()
    count = points_of(name, tmp_path / "count")
    chosen = sorted({round(1 + step * (count - 1) / (POINTS - 1)) for step in range(POINTS)})

    said = {}
    for number in chosen:
        code = FAULTS[number % len(FAULTS)]
        place = tmp_path / str(number)
        place.mkdir()
        said[number] = fail_and_look(name, number, code, place)

    assert said[1], "what fails at the first point cannot have been done"
    assert all(words.count("\n") == 0 for words in said.values())


def test_full_disk_is_told_with_the_next_move(tmp_path: Path):
    said = fail_and_look("dump", 1, errno.ENOSPC, tmp_path)

    assert "full" in said or "No space left" in said
    assert "make room" in said
