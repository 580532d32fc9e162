"""What front, left and turning mean: set once, changed with undo, and shown where such words are."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.core.codes.facing import meanings_for
from asfound.model.pictures import Job
from tests.sallow_archive import Bench, bench_with_job

TURNS = "clockwise seen from the belt end"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return bench_with_job(tmp_path / "archive")


def turning(bench: Bench) -> str:
    with open_archive(bench.folder) as archive:
        return archive.job.turning_means


def test_a_job_is_started_with_all_three(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "archive")
    words = ("--front", "belt end", "--left", "port", "--turning", TURNS)
    said = bench.run("job", "new", "Sallow", "--zone", "UTC", *words)
    assert said.return_value == 0
    assert TURNS in said.stdout
    assert "Seen from the flywheel end that is anticlockwise" in " ".join(said.stdout.split())
    (job,) = bench.json("job", "list")
    assert (job["front"], job["left"], job["turning"]) == ("belt end", "port", TURNS)


def test_turning_is_changed_and_taken_back(bench: Bench) -> None:
    assert bench.run("job", "set", "--turning", TURNS).return_value == 0
    assert turning(bench) == TURNS
    bench.run("undo")
    assert turning(bench) == ""


def test_turning_without_its_end_is_kept_and_asked_back(bench: Bench) -> None:
    said = bench.run("job", "set", "--turning", "clockwise")
    assert said.return_value == 1
    assert "seen from which end? SAE J824" in " ".join(said.stderr.split())
    assert turning(bench) == "clockwise"
    assert "turning: clockwise (seen from which end?)" in bench.run("resume").stdout


def test_showing_what_they_mean_changes_nothing(bench: Bench) -> None:
    bench.run("job", "set", "--turning", TURNS)
    assert "not said" in bench.run("job", "set").stdout
    bench.run("undo")
    assert turning(bench) == ""


@pytest.mark.parametrize("command", [["resume"], ["handover", "fuel is off"], ["job", "list"]])
def test_they_stand_on_what_is_read_when_work_goes_on(bench: Bench, command: list[str]) -> None:
    bench.run("job", "set", "--front", "belt end", "--turning", TURNS)
    said = " ".join(bench.run(*command).stdout.split())
    assert f"front: belt end; left: not said; turning: {TURNS}" in said


def test_a_card_says_what_its_own_words_mean(bench: Bench) -> None:
    bench.run("job", "set", "--front", "belt end", "--left", "port", "--turning", TURNS)
    bench.run("tag", "17", "--place-a", "front cover", "--note", "tank end left open")
    bench.run("tag", "18", "--place-a", "left mount", "--note", "pulley turns clockwise")
    front = bench.json("tag", "17")["know"]
    assert front == ["front means: belt end"]
    assert bench.json("tag", "18")["know"] == ["left means: port", f"turning means: {TURNS}"]


def test_left_as_a_verb_is_no_side(bench: Bench) -> None:
    with open_archive(bench.folder) as archive:
        job = archive.job
    said = Job(job.job_id, job.name, job.zone, "belt end", "port", job.created_at, TURNS)
    assert meanings_for(said, "right mount") == ("left means: port",)
    assert meanings_for(said, "left on its stud, one third turn") == ()


def test_what_nobody_said_is_asked_for_once_at_the_start(tmp_path: Path) -> None:
    bench = Bench(tmp_path / "archive")
    said = bench.run("job", "new", "Sallow", "--zone", "UTC", "--left", "port")
    assert said.return_value == 0
    assert 'asfound job set --front "..." --turning "..."' in " ".join(said.stdout.split())
