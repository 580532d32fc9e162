"""A shell completes tag numbers, bags, snags, cameras, spots and pictures; run through bash with `completion`."""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.sallow_archive import Bench

MEDIA = Path(__file__).parents[2] / "sample_media"

pytestmark = pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")


@pytest.fixture(scope="module")
def shell(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Variables of a shell in which `asfound` is a command, with an archive of its own."""
    place = tmp_path_factory.mktemp("completing")
    (place / "bin").mkdir()
    (place / "bin" / "asfound").write_text(f'#!/bin/sh\nexec "{sys.executable}" -m asfound "$@"\n')
    (place / "bin" / "asfound").chmod(0o755)
    variables = {
        **os.environ,
        "PATH": f"{place / 'bin'}:{os.environ['PATH']}",
        "ASFOUND_ARCHIVE": str(place / "archive"),
    }
    for line in (
        "job new Sallow",
        f"add --later {MEDIA / 'P1_0001.jpg'} {MEDIA / 'K1_0001.jpg'}",
        "tag 17 --name 'drain hose'",
        "tag 2",
        "tag 170",
        "bag B10",
        "bag B2 --for 17",
        "snag add 'stud broken'",
        "snag add 'hose soft'",
        "snag close 1",
    ):
        Bench(place / "archive").run(*shlex.split(line))
    return variables


def after_tab(shell: dict[str, str], *words: str) -> list[str]:
    """What bash would offer when Tab is pressed after the last word."""
    typed = " ".join(f"'{word}'" for word in words)
    script = (
        'eval "$(asfound completion bash)"\n'
        f"COMP_WORDS=({typed}); COMP_CWORD={len(words) - 1}\n"
        "_asfound_completion asfound 2>/dev/null\n"
        'printf "%s\\n" "${COMPREPLY[@]}"'
    )
    done = subprocess.run(["bash", "-c", script], env=shell, capture_output=True, text=True, check=True)
    return done.stdout.split()


def test_tag_numbers_come_in_natural_order(shell: dict[str, str]):
    assert after_tab(shell, "asfound", "find", "") == ["2", "17", "170"]
    assert after_tab(shell, "asfound", "pins", "17") == ["17", "170"]
    assert after_tab(shell, "asfound", "off", "1") == ["17", "170"]


def test_camera_is_named_by_one_word_that_the_command_understands(shell: dict[str, str]):
    assert after_tab(shell, "asfound", "clock", "") == ["K1", "P1"]


def test_bags_and_snags_are_completed_where_they_are_named(shell: dict[str, str]):
    assert after_tab(shell, "asfound", "bag", "") == ["B2", "B10"]
    assert after_tab(shell, "asfound", "off", "17", "--bag", "b1") == ["B10"]
    assert after_tab(shell, "asfound", "snag", "close", "") == ["2", "1"]
    assert after_tab(shell, "asfound", "bag", "B2", "--for", "17") == ["17", "170"]


def test_pictures_are_completed_whatever_the_capitals(shell: dict[str, str]):
    assert after_tab(shell, "asfound", "pin", "17a", "p1") == ["P1_0001.jpg"]
    assert after_tab(shell, "asfound", "where", "K") == ["K1_0001.jpg"]


def test_archive_of_the_main_option_is_asked(shell: dict[str, str], tmp_path: Path):
    assert after_tab(shell, "asfound", "--archive", str(tmp_path), "find", "") == []
    assert after_tab(shell, "asfound", "--archive", shell["ASFOUND_ARCHIVE"], "find", "17") == ["17", "170"]


def test_commands_are_completed(shell: dict[str, str]):
    assert "spots" in after_tab(shell, "asfound", "spo")
