"""A record in which a byte is no text any more: said as a damaged record, in one line, and repaired from a backup."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from asfound.actions.archive import open_archive
from asfound.actions.backup import back_up
from asfound.archive.layout import Layout
from tests.faults.damaging import small_archive


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "asfound", "--archive", str(folder), *words], capture_output=True, text=True
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return small_archive(tmp_path) / "archive"


def spoil(folder: Path, after: bytes, further: int = 0) -> None:
    """Put a byte that begins no character into the database."""
    path = Layout(folder).database
    data = bytearray(path.read_bytes())
    data[data.index(after) + further] = 0xFF
    path.write_bytes(data)


@pytest.mark.parametrize("words", [("tags",), ("log",), ("17",), ("find", "hose")])
def test_byte_that_is_no_text_is_said_as_a_damaged_record(folder: Path, words: tuple[str, ...]):
    spoil(folder, b"hose 17")

    done = run(folder, *words)

    assert (done.returncode, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert "the record is damaged" in done.stderr
    assert "asfound check" in done.stderr


def test_byte_that_is_no_text_is_found_named_and_never_backed_up(folder: Path, tmp_path: Path):
    """Also where no sums of the pages tell of it: whoever wrote last has summed the damage."""
    Layout(folder).database.with_suffix(".pages").unlink()
    spoil(folder, b"hose 17")

    checked = run(folder, "check")
    copied = run(folder, "backup", str(tmp_path / "stick.zip"))
    repaired = run(folder, "repair")

    assert checked.returncode == 1
    assert "of tag holds bytes that are no text" in checked.stderr
    assert "(tags 17)" in checked.stderr
    assert (copied.returncode, (tmp_path / "stick.zip").exists()) == (2, False)
    assert (repaired.returncode, "check: tag 17" in repaired.stderr) == (1, True)
    assert run(folder, "tags").returncode == 0
    assert run(folder, "check").returncode == 0


def test_byte_flipped_in_the_list_of_tables_is_damage_and_no_slip_of_the_hand(folder: Path, tmp_path: Path):
    with open_archive(folder) as archive:
        back_up(archive, tmp_path / "stick")
    before = run(folder, "tags", "--json").stdout
    spoil(folder, b"CREATE TABLE", 30)

    for words in (("tags",), ("17",), ("add", str(folder))):
        done = run(folder, *words)
        assert (done.returncode, done.stderr.count("\n")) == (2, 1)
        assert "the record is damaged" in done.stderr
    checked = run(folder, "check", "--json")
    assert (checked.returncode, json.loads(checked.stdout)["sound"]) == (1, False)

    assert run(folder, "repair", "--from", str(tmp_path / "stick")).returncode == 0
    assert run(folder, "check").returncode == 0
    assert run(folder, "tags", "--json").stdout == before
