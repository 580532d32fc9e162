"""The crash matrix in its short form: some points of every work. All of them: python -m tests.faults.crash_matrix"""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from tests.faults.crash_matrix import WORKS, kill_a_dump, points_of, stop_and_look

POINTS = 5
KILLS = 3

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="no process can be forked here")


@pytest.mark.parametrize("name", WORKS)
def test_work_that_is_stopped_loses_nothing(name: str, tmp_path: Path):
    (tmp_path / "count").mkdir()
    count = points_of(name, tmp_path / "count")
    assert count > 4

    for number in sorted({round(1 + step * (count - 1) / (POINTS - 1)) for step in range(POINTS)}):
        (tmp_path / str(number)).mkdir()
        assert stop_and_look(name, number, tmp_path / str(number)), "it met the point"


def test_dump_that_is_killed_loses_nothing(tmp_path: Path):
    chance = random.Random(3)
    for number in range(KILLS):
        (tmp_path / str(number)).mkdir()
        kill_a_dump(chance, tmp_path / str(number), 0.3)
