"""A table of bags: groups of fasteners, counts, and the tags they are for; what cannot be taken is told row by row."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from asfound.actions import bags, tag
from asfound.actions.archive import Archive, open_archive
from asfound.actions.bags_import import import_bags
from asfound.actions.tag import TagWords, add_tag
from asfound.errors import Misused
from asfound.store import tags as stored_tags
from tests.sallow_archive import bench_with_job


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    """A job with the tags 17 and 18."""
    bench_with_job(tmp_path / "archive")
    with open_archive(tmp_path / "archive") as opened:
        for number in ("17", "18"):
            add_tag(opened, number, TagWords())
        yield opened


def table(folder: Path, *rows: str) -> Path:
    path = folder / "bags.csv"
    path.write_text("bag,label,for_tags,place,contents,thread,length_mm,count_out,note\n" + "\n".join(rows) + "\n")
    return path


def test_rows_of_one_bag_are_its_groups_and_its_tags_are_linked(archive: Archive, tmp_path: Path):
    path = table(
        tmp_path, "B4,flange,17;18,shelf 2,bolts,M10,35,6,greasy", "b4,,,,washers,M10,,6,", "B5,,,,2 dowels,,,2,"
    )

    report = import_bags(archive, path)

    b4, b5 = bags.list_bags(archive)
    assert (b4.label, b4.name, b4.place, b4.note, b4.count_out) == ("B4", "flange", "shelf 2", "greasy", 12)
    assert b4.inside == "bolts, M10 x 35, washers, M10"
    assert len(b4.tag_ids) == 2
    assert (b5.contents, b5.count_out, b5.groups, b5.tag_ids) == ("2 dowels", 2, (), ())
    assert [row.became for row in report.rows].count("added") >= 2
    assert report.unread_columns == ()


def test_second_time_changes_nothing_and_one_undo_takes_it_back(archive: Archive, tmp_path: Path):
    path = table(tmp_path, "B4,flange,17,shelf 2,bolts,M10,35,6,")
    import_bags(archive, path)
    before = bags.list_bags(archive)

    again = import_bags(archive, path)

    assert [row.became for row in again.rows] == ["same"]
    assert bags.list_bags(archive) == before
    archive.store.undo(archive.now())
    assert bags.list_bags(archive) == []


def test_what_cannot_be_taken_is_told_and_the_other_rows_are_taken(archive: Archive, tmp_path: Path):
    path = table(tmp_path, ",nameless,,,,,,,", "B1,,17;99,,,,,,", "B2,,,,,,,many,", "B3,,,,,,,4,")

    report = import_bags(archive, path)

    assert [row.became for row in report.rows] == ["refused", "added", "refused", "added"]
    assert "names no bag" in report.rows[0].left_out[0]
    assert report.rows[1].left_out[0].startswith("for_tags 99: ")
    assert [bag.label for bag in bags.list_bags(archive)] == ["B1", "B3"]


def test_dry_run_tells_the_same_and_writes_nothing(archive: Archive, tmp_path: Path):
    path = table(tmp_path, "B4,flange,17,shelf 2,bolts,M10,35,6,")

    tried = import_bags(archive, path, is_dry_run=True)

    assert bags.list_bags(archive) == []
    assert import_bags(archive, path) == tried


def test_table_without_a_column_for_the_bag_is_none_of_ours(archive: Archive, tmp_path: Path):
    (tmp_path / "x.csv").write_text("box,place\n1,shelf\n")

    with pytest.raises(Misused, match="no column bag"):
        import_bags(archive, tmp_path / "x.csv")


def test_how_a_belt_ran_makes_a_belt_of_a_thing_of_no_kind_and_of_no_other(archive: Archive):
    stored_tags.change_tag(archive.store, tag.list_tags(archive)[1].tag_id, kind="hose")

    for one in tag.list_tags(archive):
        tag.note_belt(archive, one, path="crank, pump", slack="10 mm")

    assert [one.kind for one in tag.list_tags(archive)] == ["belt", "hose"]
    belts = stored_tags.list_belts(archive.store, archive.job.job_id)
    assert {(belt.path, belt.slack) for belt in belts.values()} == {("crank, pump", "10 mm")}
    archive.store.undo(archive.now())
    archive.store.undo(archive.now())
    assert [one.kind for one in tag.list_tags(archive)] == ["other", "hose"]
    assert stored_tags.list_belts(archive.store, archive.job.job_id) == {}
