"""Fluids are written down with what is said of them, and never without a name or the reason they are left out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive, open_archive
from asfound.actions.fluids import FluidWords, list_fluids, write_fluid, write_fluid_words
from asfound.errors import Misused
from asfound.model.log import BLED, FILLED, LEAKS, LEFT_OUT
from tests.sallow_archive import bench_with_job


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    bench_with_job(tmp_path / "archive")
    with open_archive(tmp_path / "archive") as opened:
        yield opened


@pytest.mark.parametrize("kind", [FILLED, BLED, LEAKS, LEFT_OUT])
def test_line_says_all_that_was_said_and_is_one_step(archive: Archive, kind: str):
    at = archive.now() - timedelta(hours=3)
    said = FluidWords("engine  oil", "8 l", "15W-40", "new can", "R. Veer", "a drop at the sump")

    line = write_fluid(archive, kind, said, at=at)

    assert (line.kind, line.what, line.amount, line.grade) == (kind, "engine oil", "8 l", "15W-40")
    assert (line.container, line.by_whom, line.note) == ("new can", "R. Veer", "a drop at the sump")
    assert (line.at, line.tag_id, line.is_day_only) == (at, None, False)
    archive.store.undo(archive.now())
    assert log.list_lines(archive) == []


@pytest.mark.parametrize(
    ("kind", "said", "told"),
    [
        (FILLED, FluidWords("  "), "which fluid"),
        (LEFT_OUT, FluidWords("coolant"), "why it is left out"),
        (LEFT_OUT, FluidWords("coolant", note="  "), "why it is left out"),
    ],
)
def test_fluid_without_a_name_or_reason_is_asked_back(archive: Archive, kind: str, said: FluidWords, told: str):
    with pytest.raises(Misused, match=told):
        write_fluid(archive, kind, said)

    assert log.list_lines(archive) == []


@pytest.mark.parametrize(
    ("text", "kind", "amount", "note"),
    [
        ("7.5 l", "filled", "7.5 l", ""),
        ("Bled twice", "bled", "", "twice"),
        ("leaks", "leaks looked at", "", ""),
        ("left out, goes dry", "left out", "", "goes dry"),
    ],
)
def test_one_line_says_what_became_of_a_fluid(archive: Archive, text: str, kind: str, amount: str, note: str):
    line = write_fluid_words(archive, "coolant", text)
    assert (line.what, line.kind, line.amount, line.note) == ("coolant", kind, amount, note)


@pytest.mark.parametrize("text", ["", "left out"])
def test_line_that_says_nothing_of_a_fluid_is_asked_back(archive: Archive, text: str):
    with pytest.raises(Misused):
        write_fluid_words(archive, "coolant", text)


def test_fluids_are_listed_by_name_whatever_the_capitals(archive: Archive):
    for what in ("Engine oil", "engine oil", "coolant"):
        write_fluid(archive, FILLED, FluidWords(what, "2 l"))

    assert len(list_fluids(archive)) == 2
