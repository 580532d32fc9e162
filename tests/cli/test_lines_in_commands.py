"""Commands take what typed lines take: ranges, who, and when as people say it."""

from __future__ import annotations

from pathlib import Path

import pytest

from asfound.actions import bags
from asfound.actions.archive import open_archive
from asfound.errors import Misused, NotFound
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    made = bench_with_job(tmp_path / "archive")
    for number in ("17", "18", "19"):
        made.run("tag", number, "--kind", "hose")
    return made


@pytest.mark.parametrize("typed", [("17-19",), ("17,18,19",), ("17", "18", "19"), ("17-18", "19")])
def test_several_numbers_are_typed_together(bench: Bench, typed: tuple[str, ...]):
    bench.run("off", *typed, "--by", "MK")

    assert [(one["tag"], one["by"]) for one in bench.json("log")] == [(n, "MK") for n in ("17", "18", "19")]


def test_nothing_is_written_where_one_of_a_range_is_nobodys(bench: Bench):
    with pytest.raises(NotFound, match="no tag 20"):
        bench.run("off", "17-20")

    assert bench.json("log") == []


def test_one_end_is_off_and_back(bench: Bench):
    bench.run("off", "17a")
    bench.run("refitted", "17a")

    assert [(one["end"], one["event"]) for one in bench.json("log")] == [("A", "off"), ("A", "refitted")]


@pytest.mark.parametrize(("said", "day"), [("31/5", "05-31"), ("31.5.", "05-31"), ("yesterday", "")])
def test_when_is_said_as_in_a_line(bench: Bench, said: str, day: str):
    bench.run("off", "17", "--at", said)
    (line,) = bench.json("log")

    assert line["day_only"]
    assert day in line["at"]


def test_a_day_that_can_be_two_is_asked_back(bench: Bench):
    with pytest.raises(Misused, match="3/2"):
        bench.run("off", "17", "--at", "3/2")


def test_who_is_said_of_snags_fluids_and_counts(bench: Bench):
    bench.run("drained", "coolant", "9 l", "--by", "MK")
    bench.run("bag", "B1", "--out", "7", "--by", "JB")
    bench.run("snag", "add", "rust", "--by", "MK")

    assert [(one["event"], one["by"]) for one in bench.json("log")] == [("drained", "MK"), ("counted out", "JB")]
    assert bench.json("snags")[0]["what"] == "rust (MK)"


def test_a_group_is_renamed_and_removed_and_one_alone_needs_no_name(bench: Bench):
    bench.run("bag", "B1", "--group", "bolts", "--out", "4")
    bench.run("bag", "B1", "--back", "3")
    bench.run("bag", "B1", "--group", "bolts", "--rename", "studs")
    with open_archive(bench.folder) as archive:
        (group,) = bags.get_bag(archive, "B1").groups
    assert (group.what, group.count_out, group.count_back) == ("studs", 4, 3)

    bench.run("bag", "B1", "--group", "studs", "--drop")
    with open_archive(bench.folder) as archive:
        assert bags.get_bag(archive, "B1").groups == ()


def test_a_job_that_fails_is_none(bench: Bench):
    with pytest.raises(Misused, match="No job was made"):
        bench.run("job", "new", "Second", "--turning", "clockwise")

    assert len(bench.json("job", "list")) == 1
