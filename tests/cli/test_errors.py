"""Whatever goes wrong is said in one plain line with an exit status, never as a traceback."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest


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


def test_undoing_more_than_there_is_takes_back_all_there_is(tmp_path: Path):
    archive = ("--archive", str(tmp_path / "archive"))
    run(*archive, "job", "new", "Sallow")
    run(*archive, "tag", "17")

    assert run(*archive, "undo", "9").stdout.count("taken back") == 1
    assert run(*archive, "undo").returncode == 1


def test_missing_part_of_the_system_is_one_sentence_with_the_remedy():
    """As Python words it when OpenCV's wheel finds no libGL."""
    from asfound.cli.main import explain_import

    said = explain_import(ImportError("libGL.so.1: cannot open shared object file: No such file or directory"))

    assert "libGL.so.1" in said
    assert "apt install libgl1" in said
