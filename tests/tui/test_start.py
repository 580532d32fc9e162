"""The first screen: the next step, where the work was left, and handing over."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from asfound.actions import log
from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.resume import hand_over, note_of_today
from asfound.actions.tag import TagWords, add_tag
from asfound.tui.first_words import (
    last_day_words,
    next_place,
    next_words,
    off_last_words,
    state_words,
    still_open_words,
)
from asfound.tui.widgets.ask_line import AskLine
from asfound.tui.widgets.rows import RowList
from tests.small_changes import come_off
from tests.tui.screens_of import running, summary_of


def test_where_nothing_has_a_number_yet_the_next_step_is_to_type_some(archive: Archive) -> None:
    """The few gaps of such a job, of clocks, are none that the person came for."""
    summary = replace(summary_of(archive), to_sort=0, unsorted=0, tags=0, gaps=2, gaps_closable=2, walk_open=0)
    assert next_place(summary) == "spots"
    assert "type tag numbers" in next_words(summary)
    assert next_place(replace(summary, tags=3)) == "gaps"


def test_before_anything_has_a_number_or_is_off_the_next_step_is_the_walk_round(archive: Archive) -> None:
    summary = replace(summary_of(archive), to_sort=0, unsorted=0, tags=0, walk_open=12, walk_items=15)

    assert next_place(summary) == "walk"
    assert next_words(summary) == "walk round: 12 of 15 still to photograph before anything comes off"
    assert state_words("walk", replace(summary, off=2)) == "12 of 15 still to photograph before lift out"
    assert next_place(replace(summary, off=2)) == next_place(replace(summary, walk_open=0)) == "spots"
    lost = replace(summary, walk_open=0, walk_lost=3)
    assert state_words("walk", lost) == "3 of 15 not photographed before lift out"
    assert state_words("walk", replace(lost, walk_lost=0)) == "all 15 answered"
    assert state_words("walk", replace(lost, walk_lost=0, walk_items=0)) == ""


def test_on_the_way_back_the_next_step_is_what_is_free_to_fit(archive: Archive) -> None:
    summary = replace(summary_of(archive), to_sort=58, off=46, refitted=43, next_up=("41 (shaft coupling bolts)",))

    assert next_place(summary) == "fit_next"
    assert next_words(summary) == "fit what is free now"
    assert next_place(replace(summary, next_up=())) == "sort"
    assert next_place(replace(summary, refitted=0)) == "sort"


@pytest.mark.parametrize(
    ("gaps", "closable", "words"),
    [(0, 0, "no gaps"), (3, 0, "3 gaps, none can still be closed"), (3, 2, "3 gaps, 2 can still be closed")],
)
def test_gaps_in_words(archive: Archive, gaps: int, closable: int, words: str) -> None:
    assert state_words("gaps", replace(summary_of(archive), gaps=gaps, gaps_closable=closable)) == words


async def test_where_the_work_was_left_leads_to_the_log(archive: Archive) -> None:
    come_off(archive, "112", "31")
    async with running(archive) as (app, pilot):
        assert app.screen.query_one(RowList).rows[1].cells[1:] == ("Where I was", "Mon 20 Oct 2025: 2 lines in the log")
        await pilot.press("down", "enter")
        await pilot.pause()
        assert app.current_mode == "log_"


def test_where_the_work_was_left_is_read_from_the_log(tmp_path: Path) -> None:
    with open_archive(tmp_path / "archive", create=True) as archive:
        new_job(archive, "Sallow", zone="Europe/Amsterdam")
        assert summary_of(archive).was is None
        hose = add_tag(archive, "17", TagWords(kind="hose", name="bypass hose"))
        add_tag(archive, "18", TagWords(kind="hose"))
        log.mark_off(archive, hose, at=datetime(2025, 10, 18, 9, tzinfo=UTC))
        was = summary_of(archive).was
        assert was is not None
        assert last_day_words(was) == "Sat 18 Oct 2025: 1 line in the log"
        assert off_last_words(was) == "Sat 18 Oct 2025: 17 (bypass hose)"
        assert (still_open_words(was), was.next_up) == ("1 off", ("hold before lift in", "17 (bypass hose)"))
        hand_over(archive, "fuel is off")
        was = summary_of(archive).was
        assert was is not None
        assert '"fuel is off"' in last_day_words(was)


async def test_what_was_done_last_stands_on_the_first_screen(archive: Archive) -> None:
    come_off(archive, "112")
    async with running(archive) as (app, _):
        (row,) = [row for row in app.screen.query_one(RowList).rows if row.key == "last"]
        assert row.cells[2] == "112 off; u takes it back"


async def test_the_day_is_handed_over_from_the_first_screen_and_taken_back(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press("e")
        await pilot.press(*"fuel_is_off".replace("_", " "), "enter")
        await pilot.pause()
        assert note_of_today(archive) == "fuel is off"
        assert 'Handed over: "fuel is off"' in app.screen.said_words
        await pilot.press("e")
        await pilot.pause()
        assert app.screen.query_one(AskLine).field.value == "fuel is off"
        await pilot.press("escape", "u")
        await pilot.pause()
        assert "Taken back" in app.screen.said_words
