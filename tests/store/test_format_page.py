"""docs/format.md is enough to use an archive without this program: its words are followed with plain SQL and files."""

from __future__ import annotations

import re
import shutil
import sqlite3
import subprocess
import zlib
from contextlib import closing
from pathlib import Path

import pytest

from asfound.actions import log
from asfound.actions.archive import open_archive
from asfound.actions.tag import list_tags
from tests.faults.damaging import small_archive

PAGE = (Path(__file__).parents[2] / "docs" / "format.md").read_text(encoding="utf-8")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    place = small_archive(tmp_path) / "archive"
    with open_archive(place) as archive:
        log.mark_off(archive, list_tags(archive)[0], bag="B4")
    return place


def queries() -> dict[str, str]:
    """Each query of the page's section "By hand", by the heading over it."""
    section = PAGE.split("## By hand", 1)[1].split("\n## ", 1)[0]
    found = re.findall(r"^(\S[^\n]*):\n\n((?:    [^\n]*\n)+)", section, re.MULTILINE)
    return {name: "\n".join(line.strip() for line in lines.splitlines()) for name, lines in found}


def asked(folder: Path, query: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(f"file:{folder}/asfound.sqlite?mode=ro", uri=True)) as plain:
        return plain.execute(query).fetchall()


def test_photo_pin_and_log_of_tag_17_are_found_by_hand(folder: Path):
    found = queries()
    pictures = asked(folder, found["Where tag 17 is pinned, earliest picture first"])
    lines = asked(folder, found["What happened to tag 17"])

    end, file, original, x_frac, y_frac, width, height = pictures[0]
    assert (end, file) == ("A", "P1_0000.jpg")
    assert (x_frac, y_frac) == (0.2, 0.3)
    assert (width, height) == (240, 180)
    assert (folder / str(original)).read_bytes() == (folder.parent / "card" / "P1_0000.jpg").read_bytes()
    assert [line[1:3] for line in lines] == [("off", "B4")]


def test_line_that_was_struck_is_left_out_by_hand_too(folder: Path):
    with open_archive(folder) as archive:
        log.strike(archive, log.list_lines(archive)[0])

    assert asked(folder, queries()["What happened to tag 17"]) == []


def test_original_is_proved_by_its_name(folder: Path):
    """With sha256sum (GNU coreutils), as the page says."""
    if shutil.which("sha256sum") is None:
        pytest.skip("no sha256sum here")
    for path in (folder / "originals").glob("??/*"):
        told = subprocess.run(["sha256sum", path], capture_output=True, text=True, check=True).stdout
        assert told.startswith(path.name.partition(".")[0])


def test_previews_end_as_the_page_says(folder: Path):
    paths = list((folder / "cache" / "preview").glob("??/*.jpg"))
    assert paths
    for path in paths:
        data = path.read_bytes()
        assert (data[:2], data[-8:-4]) == (b"\xff\xd8", b"AFC1")
        assert int.from_bytes(data[-4:], "little") == zlib.crc32(data[:-8])


def test_page_sums_are_as_the_page_says(folder: Path):
    sums, database = (folder / "asfound.pages").read_bytes(), (folder / "asfound.sqlite").read_bytes()
    head = b"asfound page sums 1\n"
    assert sums.startswith(head)
    numbers = [int.from_bytes(sums[at : at + 4], "little") for at in range(len(head), len(sums), 4)]
    size, count, *pages, whole = numbers
    assert count == len(pages) == len(database) // size
    assert pages == [zlib.crc32(database[at : at + size]) for at in range(0, len(database), size)]
    assert whole == zlib.crc32(sums[:-4])


def test_page_names_every_table_of_a_persons_words():
    from asfound.store.migrations import PERSON_TABLES

    assert [table for table in PERSON_TABLES if f"`{table}`" not in PAGE] == []
