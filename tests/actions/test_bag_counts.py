"""Pieces counted out and back."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.actions import bag_counts, bags, job
from asfound.actions.archive import Archive, open_archive
from asfound.errors import Misused, NotFound

NOW = datetime(2025, 11, 5, 15, 40, tzinfo=UTC)


@pytest.fixture
def archive(tmp_path: Path) -> Archive:
    made = open_archive(tmp_path / "archive", create=True, now=lambda: NOW)
    job.new_job(made, "Work boat", zone="UTC")
    bags.save_bag(made, "B1")
    return made


def test_a_bag_with_one_group_needs_no_name_of_it(archive: Archive):
    bags.save_bag(archive, "B1", groups=[bags.GroupWords("bolts", count_out=4)])
    line = bag_counts.count(archive, "B1", "back", "3")

    assert line.what == "bolts"
    assert bags.get_bag(archive, "B1").groups[0].count_back == 3


def test_of_several_groups_one_has_to_be_named(archive: Archive):
    bags.save_bag(
        archive, "B1", groups=[bags.GroupWords("bolts", count_out=4), bags.GroupWords("washers", count_out=8)]
    )
    with pytest.raises(Misused, match="bolts, washers"):
        bag_counts.count(archive, "B1", "back", "4")
    bag_counts.count(archive, "B1", "back", "8", group="washer")

    assert [one.count_back for one in bags.get_bag(archive, "B1").groups] == [None, 8]


def test_a_sort_that_is_named_first_makes_a_group(archive: Archive):
    bag_counts.count(archive, "B1", "out", "4", group="bolts", by_whom="MK")

    assert [(one.what, one.count_out) for one in bags.get_bag(archive, "B1").groups] == [("bolts", 4)]


def test_all_of_what_nobody_counted_leaves_the_bag_to_be_counted(archive: Archive):
    line = bag_counts.count(archive, "B1", "back", "all")

    assert line.amount == "all"
    assert bags.get_bag(archive, "B1").is_to_count


def test_a_bag_nobody_has_is_refused(archive: Archive):
    with pytest.raises(NotFound):
        bag_counts.count(archive, "B7", "back", "4")
