"""Commands that only look answer at once from what is there, also where nothing can be written."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from asfound.actions.add import add_dump
from asfound.actions.archive import open_archive
from asfound.store import database
from tests.faults.damaging import small_archive
from tests.media import samples
from tests.sallow_archive import Bench

LOOKING = [
    ("17",), ("find", "hose"), ("gaps",), ("gaps", "--answered"), ("resume",), ("where", "P1_0001.jpg"), ("pins", "17"),
    ("spots",), ("pairs",), ("pictures",), ("tags",), ("tag", "17"), ("log",), ("bags",), ("snags",), ("fit", "--all"),
    ("job", "list"), ("clock",), ("undo", "--list"), ("undo", "--all"), ("redo", "--list"), ("check",),
]  # fmt: skip


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    """Sorted, and then one more photo that is not, and a line of the log."""
    folder = small_archive(tmp_path) / "archive"
    more = tmp_path / "more"
    more.mkdir()
    (more / "P1_0009.jpg").write_bytes(samples.jpeg(samples.scene(96, 72, 9)))
    with open_archive(folder) as archive:
        add_dump(archive, [more], workers=0)
    bench = Bench(folder)
    bench.run("off", "17")
    return bench


@pytest.mark.parametrize("words", LOOKING, ids=" ".join)
def test_answers_on_a_disk_that_cannot_be_written(
    bench: Bench, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
):
    before = {path: path.read_bytes() for path in bench.folder.rglob("*") if path.is_file()}
    monkeypatch.setattr(database.os, "access", lambda place, mode: not mode & os.W_OK)
    monkeypatch.setattr("asfound.archive.cache.save_bytes", refuse)

    done = bench.run(*words)

    assert done.return_value in (0, 1, None)
    assert {path: path.read_bytes() for path in bench.folder.rglob("*") if path.is_file()} == before


def refuse(*_: object, **__: object) -> None:
    raise PermissionError("read-only")


@pytest.mark.parametrize(
    "words", [("17",), ("gaps",), ("resume",), ("spots",), ("pins", "17"), ("where", "P1_0001.jpg")]
)
def test_says_that_sorting_is_not_finished_and_does_not_wait_for_it(
    bench: Bench, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr("asfound.actions.matching.detect_features", refuse)

    done = bench.run(*words)

    assert "1 picture is not sorted yet" in done.stderr
    assert "asfound sort" in done.stderr


def test_what_takes_a_moment_is_done(bench: Bench):
    bench.run("sort")
    bench.run("off", "12")

    assert "not sorted" not in bench.run("pairs").stderr
    assert "not finished" not in bench.run("spots").stderr
