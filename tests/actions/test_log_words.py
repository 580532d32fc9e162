"""A typed line of the log on the demo job."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from asfound.actions import log, resume, undo
from asfound.actions.archive import open_archive
from asfound.actions.log_words import write_words
from asfound.errors import AskBack, Misused
from tests.sallow_archive import Bench, bench_with_job


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    made = bench_with_job(tmp_path / "archive")
    made.run("tag", "17", "--name", "sensor plug")
    made.run("tag", "18", "--name", "fuel feed")
    made.run("bag", "B4", "--place", "bin 2")
    return made


def test_off_with_bag_and_note_is_one_step_and_undo_takes_it_back(bench: Bench):
    with open_archive(bench.folder) as archive:
        told = write_words(archive, "17 off bag 4 latch stiff")
        (line,) = log.list_lines(archive)

        assert told == "17 sensor plug: off, bag B4, latch stiff"
        assert (line.kind, line.bag, line.note) == ("off", "B4", "latch stiff")

        assert undo.undo(archive) == ["17 off"]
        assert log.list_lines(archive) == []


def test_number_alone_is_a_new_bag_where_two_bags_could_be_meant(bench: Bench):
    bench.run("bag", "C4", "--place", "bin 3")
    with open_archive(bench.folder) as archive:
        write_words(archive, "17 off bag 4")
        assert log.list_lines(archive)[-1].bag == "4"


def test_several_things_are_written_at_once_or_not_at_all(bench: Bench):
    with open_archive(bench.folder) as archive:
        with pytest.raises(AskBack, match="no 99 in this job"):
            write_words(archive, "17, 99 off")
        assert log.list_lines(archive) == []
        told = write_words(archive, "17 and 18 on tight")
        assert [(line.kind, line.how) for line in log.list_lines(archive)] == [("refitted", "tight")] * 2
        assert "never written down as off" in told
        assert undo.undo(archive) == ["17, 18 refitted, tight"]
        assert log.list_lines(archive) == []


def test_note_of_today_is_the_one_handed_over_last(bench: Bench):
    with open_archive(bench.folder) as archive:
        assert resume.note_of_today(archive) == ""
        resume.hand_over(archive, "fuel is off")
        resume.hand_over(archive, "fuel is on")
        assert resume.note_of_today(archive) == "fuel is on"


def test_a_typed_time_is_by_the_jobs_clock_and_told_back(bench: Bench):
    evening = datetime(2025, 10, 27, 17, 0, tzinfo=UTC)  # 18:00 in Amsterdam
    with open_archive(bench.folder, now=lambda: evening) as archive:
        assert write_words(archive, "14:20 off 17").endswith("off, on Mon 27 Oct 2025 14:20")
        assert write_words(archive, "18 off yesterday") == "18 fuel feed: off, on Sun 26 Oct 2025"
        by_tag = {line.tag_id: line for line in log.list_lines(archive)}
        assert by_tag[1].at == datetime(2025, 10, 27, 13, 20, tzinfo=UTC)
        assert not by_tag[1].is_day_only
        assert by_tag[2].is_day_only
        assert by_tag[2].at.astimezone(ZoneInfo("Europe/Amsterdam")).date() == date(2025, 10, 26)

        for line, problem in (
            ("18:30 on 17", "still to come"),
            ("17 on 2025-10-26 02:30", "came twice"),
        ):
            with pytest.raises(Misused, match=problem):
                write_words(archive, line)
        assert len(log.list_lines(archive)) == 2
        assert write_words(archive, "17 on today") == "17 sensor plug: refitted"
        assert log.list_lines(archive)[-1].at == evening
