"""Spoilt files of every kind end added or refused; the long form is one command, see `fuzz`."""

from __future__ import annotations

import random
from contextlib import suppress
from pathlib import Path

import pytest

from asfound.errors import Refused
from asfound.media.inspect import Inspection, inspect
from asfound.media.met import FoundFile
from asfound.media.source import walk
from tests.faults.fuzz import MOST_BYTES, MOST_S, fuzz
from tests.faults.fuzz_seeds import seeds, spoil

FILES = 200
KEPT = Path(__file__).parents[1] / "data" / "broken"


def test_spoilt_files_end_added_or_refused_in_time_and_memory(tmp_path: Path):
    outcome = fuzz(FILES, seed=7, place=tmp_path)

    assert outcome.wrong == []
    assert outcome.files >= FILES
    assert {"added", "refused", "added, with its trouble told", "note read or made anew"} <= set(outcome.ended)
    assert outcome.slowest_s < MOST_S
    assert 0 < outcome.most_bytes < MOST_BYTES


@pytest.mark.parametrize("name", sorted(seeds()))
def test_every_seed_is_whole(name: str, tmp_path: Path):
    """A seed that is refused as it is would test nothing."""
    (tmp_path / name).write_bytes(seeds()[name])

    for met in walk([tmp_path / name]):
        if name.endswith((".csv", ".json", ".avif")):
            assert not isinstance(met, FoundFile)
        else:
            assert isinstance(met, FoundFile)
            if "!" not in met.where:
                assert inspect(Inspection(met.where, name)).trouble == ""


def test_spoiling_is_the_same_for_the_same_seed():
    data = list(seeds().values())

    assert spoil(random.Random(5), data[0], data) == spoil(random.Random(5), data[0], data)
    assert spoil(random.Random(5), data[0], data) != spoil(random.Random(6), data[0], data)


@pytest.mark.parametrize("path", sorted(KEPT.glob("*")), ids=lambda path: path.name)
def test_file_that_once_failed_is_added_or_refused(path: Path):
    for met in walk([path]):
        if isinstance(met, FoundFile):
            with suppress(Refused):
                inspect(Inspection(met.where, met.name))
