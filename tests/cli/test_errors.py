"""Whatever goes wrong is said in one plain line with an exit status, never as a traceback."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

MEDIA = Path(__file__).parents[2] / "sample_media"


def run(*words: str, **variables: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "asfound", *words], capture_output=True, text=True, env=variables or None
    )


@pytest.mark.parametrize("words", [("spots",), ("find", "17"), ("undo",), ("gaps", "--json")])
def test_archive_that_is_not_there_is_named_with_the_next_move(tmp_path: Path, words: tuple[str, ...]):
    done = run("--archive", str(tmp_path / "none"), *words)

    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "asfound job new" in done.stderr


def test_folder_that_cannot_be_made_is_one_line(tmp_path: Path):
    (tmp_path / "file").write_text("in the way")

    done = run("--archive", str(tmp_path / "file" / "archive"), "job", "new", "Sallow")

    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr


def test_undoing_more_than_there_is_takes_back_nothing(tmp_path: Path):
    """There is no way forward again, so a slip of the finger must not empty the record."""
    archive = ("--archive", str(tmp_path / "archive"))
    run(*archive, "job", "new", "Sallow")
    run(*archive, "tag", "17")

    assert run(*archive, "undo", "9").returncode == 1
    assert "17" in run(*archive, "tags").stdout
    assert run(*archive, "undo").returncode == 0
    assert run(*archive, "undo").returncode == 1


def test_nothing_is_said_to_be_off_when_one_of_them_is_not_known(tmp_path: Path):
    archive = ("--archive", str(tmp_path / "archive"))
    run(*archive, "job", "new", "Sallow")
    run(*archive, "tag", "6")

    done = run(*archive, "off", "6", "999")

    assert done.returncode == 1
    assert "999" in done.stderr
    assert done.stdout == ""


def test_archive_is_not_fed_to_itself(tmp_path: Path):
    archive = ("--archive", str(tmp_path / "archive"))
    run(*archive, "job", "new", "Sallow")
    run(*archive, "add", "--later", str(MEDIA / "P1_0001.jpg"))

    for place in (tmp_path, tmp_path / "archive", tmp_path / "archive" / "cache"):
        assert run(*archive, "add", "--later", str(place)).stdout.startswith("0 photos")


def test_rebuild_without_the_originals_forgets_nothing(tmp_path: Path):
    archive = ("--archive", str(tmp_path / "archive"))
    run(*archive, "job", "new", "Sallow")
    run(*archive, "add", "--later", str(MEDIA / "P1_0001.jpg"))
    (tmp_path / "archive" / "originals").rename(tmp_path / "elsewhere")

    done = run(*archive, "rebuild")

    assert done.returncode == 2
    assert "P1_0001.jpg" in done.stderr


def test_missing_part_of_the_system_is_one_sentence_with_the_remedy():
    """As Python words it when OpenCV's wheel finds no libGL."""
    from asfound.cli.main import explain_import

    said = explain_import(ImportError("libGL.so.1: cannot open shared object file: No such file or directory"))

    assert "libGL.so.1" in said
    assert "apt install libgl1" in said


@pytest.mark.parametrize("words", [("find", "17"), ("spot", "name", "1", "aft"), ("17",), ("tags", "import", "x.csv")])
def test_archive_may_be_named_after_the_command(tmp_path: Path, words: tuple[str, ...]):
    nowhere = str(tmp_path / "nowhere")
    before, after = run("--archive", nowhere, *words), run(*words, "--archive", nowhere)
    assert nowhere in after.stderr
    assert (after.returncode, after.stderr) == (before.returncode, before.stderr)


@pytest.mark.parametrize(("words", "choice"), [(("event", "60"), "capped, uncapped"), (("hold",), "lift-out, lift-in")])
def test_choices_that_are_missing_are_named_in_one_line(tmp_path: Path, words: tuple[str, ...], choice: str):
    done = run("--archive", str(tmp_path), *words)

    assert done.returncode == 2
    assert choice in done.stderr
    assert done.stderr.count("\n") == 1
    assert "\\" not in done.stderr


@pytest.mark.parametrize(
    "words",
    [
        ("--offset", "1m", "--picture", "P1_0001.jpg"),
        ("--offset", "1m", "--true", "2025-10-11T09:44:50"),
        ("--picture", "P1_0001.jpg", "--true", "2025-10-11T09:44:50", "--same-as", "K1_0001.jpg"),
    ],
)
def test_a_clock_is_corrected_in_one_way_at_a_time(tmp_path: Path, words: tuple[str, ...]):
    """Which of two corrections was meant is not guessed."""
    archive = tmp_path / "archive"
    card = tmp_path / "card"
    card.mkdir()
    for name in ("P1_0001.jpg", "K1_0001.jpg"):
        (card / name).write_bytes((MEDIA / name).read_bytes())
    assert run("--archive", str(archive), "job", "new", "Sallow").returncode == 0
    assert run("--archive", str(archive), "add", "--later", str(card)).returncode == 0

    done = run("--archive", str(archive), "clock", "P1", *words)

    assert done.returncode == 2
    assert "one of them" in done.stderr
    assert "not corrected" in run("--archive", str(archive), "clock").stdout
    assert "+1m" not in run("--archive", str(archive), "clock").stdout
