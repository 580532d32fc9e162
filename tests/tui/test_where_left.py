"""What the first screen says to whoever opens the demo job after the pause."""

from __future__ import annotations

from pathlib import Path

from asfound.actions.archive import open_archive
from asfound.actions.gaps import answer_gap, find_gaps
from asfound.actions.summary import summarize
from asfound.tui.first_words import CAUTION, NEXT_UP, OFF_LAST, STILL_OPEN, WHERE_LEFT, first_words
from tests.sallow_archive import bench_with_job, bench_with_sallow


def rows(folder: Path) -> dict[str, str]:
    with open_archive(folder) as archive:
        return {title: words for _name, _key, title, words in first_words(summarize(archive), {}).rows}


def test_first_screen_tells_what_came_off_last_what_is_open_and_what_comes_next(tmp_path: Path):
    bench = bench_with_sallow(tmp_path / "archive")
    bench.run("handover", "--day", "2026-04-26", "1 stays off until last")

    said = rows(bench.folder)

    assert list(said)[1:5] == [WHERE_LEFT, OFF_LAST, STILL_OPEN, NEXT_UP]
    assert said[WHERE_LEFT] == 'Sun 26 Apr 2026: 43 lines in the log "1 stays off until last"'
    assert said[OFF_LAST].startswith("Sat 1 Nov 2025: 37 (front port mount), 38 (front starboard mount), 39")
    assert said[STILL_OPEN] == "3 off, 2 by hand only, 5 snags, 1 bag to count"
    assert said[NEXT_UP] == "29 (boost sense line), 41 (shaft coupling bolts, 6 off)"


def test_first_screen_tells_the_cautions_of_the_phase_in_one_row(tmp_path: Path):
    bench = bench_with_job(tmp_path / "archive")
    bench.run("tag", "24", "--hazard", "flooding")

    before = rows(bench.folder)[CAUTION]
    bench.run("off", "24")
    coming_off = rows(bench.folder)[CAUTION]

    assert "rings, watch and chains" in before
    assert "spring" in coming_off.lower()
    assert "rings, watch" not in coming_off
    for said in (before, coming_off):
        assert "seacock" in said.lower()
        assert said.count("licensed practice") == 1


def test_job_of_which_nothing_came_off_says_nothing_of_it(tmp_path: Path):
    bench = bench_with_job(tmp_path / "archive")
    bench.run("tag", "1")

    assert not {WHERE_LEFT, OFF_LAST, STILL_OPEN, NEXT_UP} & rows(bench.folder).keys()


def test_gap_about_a_photo_is_answered_on_the_screens_too(tmp_path: Path):
    bench = bench_with_sallow(tmp_path / "archive")

    with open_archive(bench.folder) as archive:
        gap = next(gap for gap in find_gaps(archive) if gap.kind == "near-duplicate")
        assert answer_gap(archive, gap, "both stay") == [gap]
        assert gap not in find_gaps(archive)
