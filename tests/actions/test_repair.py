"""Repair takes back what can be recovered, and names what cannot."""

from __future__ import annotations

import json
import random
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from asfound.actions import backup
from asfound.actions.archive import open_archive
from asfound.actions.check import check_archive
from asfound.actions.repair import repair
from asfound.actions.tag import TagWords, add_tag, list_tags
from asfound.archive.cache import list_cached
from asfound.archive.layout import Layout
from asfound.errors import ArchiveTrouble, AsfoundError
from asfound.store import pins
from tests.faults.damaging import flip, original, pages_of, small_archive
from tests.sallow_archive import Bench

MANY = 120


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return small_archive(tmp_path) / "archive"


@pytest.fixture
def grown(folder: Path) -> Path:
    """With so many tags, each with a long note and a pin, that they fill many pages."""
    with open_archive(folder) as archive:
        for number in range(100, 100 + MANY):
            tag = add_tag(archive, str(number), TagWords(note=f"note {number} " * 30))
            with archive.step("pinned"):
                pins.save_pin(
                    archive.store, tag.tag_id, "A", 3, archive.now(), x_frac=0.5, y_frac=0.5, w_frac=None, h_frac=None
                )
    return folder


def words(folder: Path) -> dict[str, str]:
    with open_archive(folder) as archive:
        return {tag.number: tag.note for tag in list_tags(archive)}


def pinned(folder: Path) -> int:
    with open_archive(folder) as archive:
        return len(pins.list_pins(archive.store, 1))


def wreck(database: Path, offset: int) -> None:
    """A page of zeros, as a stick leaves it."""
    with open(database, "r+b") as file:
        file.seek(offset)
        file.write(bytes(4096))


def test_sound_archive_is_left_as_it_is(folder: Path):
    before = Layout(folder).database.read_bytes()

    report = repair(folder)

    assert (report.is_whole, report.database, report.healed, report.made_again) == (True, "", [], 0)
    assert Layout(folder).database.read_bytes() == before


@pytest.mark.parametrize("source", ["card", "stick", "stick.zip"])
def test_originals_come_back_from_the_card_or_a_backup(folder: Path, source: str):
    with open_archive(folder) as archive:
        if source != "card":
            backup.back_up(archive, folder.parent / source)
        damaged, lost = original(archive, "P1_0000.jpg"), original(archive, "P1_0001.jpg")
    flip(damaged, 40)
    lost.unlink()

    report = repair(folder, [folder.parent / source])

    assert (sorted(report.healed), report.is_whole) == (["P1_0000.jpg", "P1_0001.jpg"], True)
    assert check_archive(folder, is_full=True).is_sound


def test_what_cannot_be_had_back_is_said_plainly(folder: Path):
    with open_archive(folder) as archive:
        path = original(archive, "P1_0000.jpg")
    flip(path, 40)

    report = repair(folder)

    assert report.gone == [("P1_0000.jpg", "damaged, and none of the places you named has it; pinned on it: 17a, 17b")]
    assert path.exists(), "a damaged photo still shows something"


def test_damaged_previews_are_cleared_to_be_made_again(folder: Path):
    paths = list(list_cached(Layout(folder)))
    flip(paths[0], 10)

    assert repair(folder).made_again == 1
    assert not paths[0].exists()
    assert check_archive(folder, is_full=True).is_sound


def test_broken_page_of_tags_is_brought_over_as_far_as_it_goes(grown: Path):
    database, before, pins_before = Layout(grown).database, words(grown), pinned(grown)
    wreck(database, pages_of(database, "tag")[5])

    report = repair(grown)

    after = words(grown)
    lost = {number for number in before if after.get(number) != before[number]}
    assert 0 < len(lost) < 40
    assert after.keys() == before.keys(), "the index still has every number"
    assert report.salvaged is not None
    for number in lost:
        assert any(f"tag {number} " in line for line in report.salvaged.lost), number
    assert pinned(grown) == pins_before
    assert check_archive(grown, is_full=True).is_sound
    assert list(grown.glob("asfound-damaged-*.sqlite"))


def test_backup_fills_the_hole(grown: Path):
    with open_archive(grown) as archive:
        backup.back_up(archive, grown.parent / "stick")
    database, before = Layout(grown).database, words(grown)
    wreck(database, pages_of(database, "tag")[5])

    report = repair(grown, [grown.parent / "stick"])

    assert words(grown) == before
    assert report.salvaged is not None
    assert (report.salvaged.lost, report.is_whole) == ([], True)
    assert report.salvaged.from_backup


def test_row_on_a_page_with_a_flipped_byte_is_to_be_looked_at(grown: Path):
    database = Layout(grown).database
    data, pages = database.read_bytes(), pages_of(database, "tag")
    places = (data.find(b"note 150 note 150", page, page + 4096) for page in pages)  # the search has a copy too
    flip(database, next(place for place in places if place >= 0))

    report = repair(grown)

    assert report.salvaged is not None
    assert any("150" in line for line in report.salvaged.doubtful)
    assert not report.is_whole
    assert check_archive(grown).is_sound


def test_lost_database_comes_back_from_a_backup(folder: Path):
    with open_archive(folder) as archive:
        backup.back_up(archive, folder.parent / "stick")
    before = words(folder)
    Layout(folder).database.write_bytes(b"")

    report = repair(folder, [folder.parent / "stick"])

    assert "backup of" in report.database
    assert words(folder) == before
    assert check_archive(folder, is_full=True).is_sound


def test_lost_database_without_a_backup_is_said_to_be_gone(folder: Path):
    Layout(folder).database.unlink()

    report = repair(folder)

    assert report.database.startswith("gone")
    assert not report.is_whole
    assert not Layout(folder).database.exists()


@pytest.mark.parametrize("content", [b"", None])
@pytest.mark.parametrize("create", [False, True])
def test_lost_database_beside_originals_is_no_new_archive(folder: Path, content: bytes | None, create: bool):
    """A new one in its place would look as if nothing had ever been written down."""
    Layout(folder).database.unlink()
    if content is not None:
        Layout(folder).database.write_bytes(content)

    with pytest.raises(ArchiveTrouble, match="repair --from BACKUP"):
        open_archive(folder, create=create)

    assert not Layout(folder).database.exists() or not Layout(folder).database.stat().st_size


def test_database_in_use_is_not_repaired_under_the_screens(folder: Path):
    with open_archive(folder) as archive:
        archive.store.value("SELECT COUNT(*) FROM tag")
        wreck(Layout(folder).database, pages_of(Layout(folder).database, "pin_tag")[0])
        with pytest.raises(AsfoundError, match="leave the screens"):
            repair(folder)


@pytest.mark.parametrize("seed", range(12))
def test_any_wrecked_page_leaves_a_sound_archive_and_nothing_goes_unsaid(grown: Path, seed: int):
    database, before = Layout(grown).database, words(grown)
    with closing(sqlite3.connect(database)) as connection:
        count = connection.execute("PRAGMA page_count").fetchone()[0]
    wreck(database, 4096 * random.Random(seed).randrange(count))

    report = repair(grown)

    if not report.database.startswith("gone"):
        after = words(grown)
        lost = {number for number in before if after.get(number) != before[number]}
        told = " ".join(report.salvaged.lost + report.salvaged.doubtful) if report.salvaged else ""
        assert not lost or all(f"tag {number} " in told for number in lost) or "nothing else knows" in told
        assert check_archive(grown).is_sound


def test_command_says_what_came_back_and_what_did_not(folder: Path):
    with open_archive(folder) as archive:
        first, second = original(archive, "P1_0000.jpg"), original(archive, "P1_0001.jpg")
    flip(first, 40)
    flip(second, 40)
    (folder.parent / "card" / "P1_0001.jpg").unlink()
    bench = Bench(folder)

    done = bench.run("repair", "--from", str(folder.parent / "card"))
    document = json.loads(bench.run("repair", "--json").stdout)

    assert done.return_value == 1
    assert "P1_0000.jpg" in done.stdout
    assert "P1_0001.jpg" in done.stderr
    assert [one["file"] for one in document["gone"]] == ["P1_0001.jpg"]
