"""The first screen, what goes on behind the screens, the line that asks, the looks and the list of commands."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from textual.pilot import Pilot

from asfound.actions import log, sort
from asfound.actions.archive import Archive, open_archive
from asfound.actions.job import new_job
from asfound.actions.progress import Progress, quiet
from asfound.actions.resume import hand_over, note_of_today
from asfound.actions.tag import TagWords, add_tag
from asfound.errors import Misused
from asfound.tui.app import ArchiveApp
from asfound.tui.background import WorkTold, typed_paths
from asfound.tui.looks import BRIGHT_YARD, DARK_SHOP, LOOKS
from asfound.tui.screens.spots import SpotsScreen
from asfound.tui.screens.start import (
    last_day_words,
    next_place,
    next_words,
    off_last_words,
    state_words,
    still_open_words,
)
from asfound.tui.terminal import likely_folder
from asfound.tui.widgets.ask_line import AskLine, common_start, folders_and_files
from asfound.tui.widgets.rows import RowList
from tests.small_archive import card_of, come_off
from tests.tui.screens_of import running, summary_of


class Slowly:
    """Sorting goes no further than it is let, and then does what it does."""

    def __init__(self) -> None:
        self.go_on = threading.Event()
        self.ended = threading.Event()
        self.fault: Exception | None = None
        self.was_stopped = False
        self._sort = sort.finish_pending

    def finish_pending(self, archive: Archive, progress: Progress = quiet) -> sort.SortReport:
        progress("finding features", 1, 2)
        assert self.go_on.wait(20)
        if self.fault:
            raise self.fault
        try:
            return self._sort(archive, progress)
        except Exception:
            self.was_stopped = True
            raise
        finally:
            self.ended.set()


@pytest.fixture
def slowly(monkeypatch: pytest.MonkeyPatch) -> Iterator[Slowly]:
    """Sorting that waits, and goes on at the latest when the test is over."""
    slow = Slowly()
    monkeypatch.setattr(sort, "finish_pending", slow.finish_pending)
    yield slow
    slow.go_on.set()


@pytest.fixture
def unsorted(archive: Archive) -> Archive:
    """The small archive, of which two pictures wait to be sorted."""
    with archive.store.transaction():
        archive.store.run("DELETE FROM examined WHERE picture_id > 4")
    return archive


async def until(pilot: Pilot[None], true: Callable[[], bool]) -> None:
    """Wait for work in a thread, which tells the screens in its own time."""
    for _ in range(200):
        if true():
            return
        await pilot.pause(0.01)
    raise AssertionError("it never came")


def text_of(app: ArchiveApp, name: str) -> str:
    return str(app.screen.query_one(name).render())


async def test_what_was_added_for_later_is_sorted_behind_the_screens(unsorted: Archive, slowly: Slowly) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: "finding features 1 of 2" in text_of(app, "#top"))
        assert "2 pictures not sorted yet" in app.screen.query_one(RowList).rows[1].cells[2]
        await pilot.press("t")  # keys are answered meanwhile, on other screens too
        assert "finding features" in text_of(app, "#top")
        slowly.go_on.set()
        await until(pilot, lambda: not app.background.goes_on)
        assert "Sorted:" in text_of(app, "#said")
        assert summary_of(unsorted).unsorted == 0
        assert "number: find" in text_of(app, "#top")


async def test_sorting_is_stopped_with_a_key_and_not_begun_again_by_itself(unsorted: Archive, slowly: Slowly) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: app.background.goes_on)
        await pilot.press("x")
        assert "Stopping" in text_of(app, "#said")
        slowly.go_on.set()
        await until(pilot, lambda: not app.background.goes_on)
        assert "Sorting was stopped." in text_of(app, "#said")
        await pilot.press("t", "escape")
        assert not app.background.goes_on


async def test_leaving_stops_the_work_at_the_picture_at_hand(unsorted: Archive, slowly: Slowly) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: app.background.goes_on)
        await pilot.press("q")
    slowly.go_on.set()
    assert slowly.ended.wait(20)
    assert slowly.was_stopped
    assert app.return_code == 0


@pytest.mark.parametrize(
    ("fault", "words"), [(Misused("The card is gone."), "The card is gone."), (KeyError("x"), "KeyError")]
)
async def test_a_fault_behind_the_screens_is_one_line(
    unsorted: Archive, slowly: Slowly, fault: Exception, words: str
) -> None:
    slowly.fault = fault
    slowly.go_on.set()
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: words in text_of(app, "#said"))
        assert app.is_running


async def test_a_second_folder_waits_until_the_work_is_done(unsorted: Archive, slowly: Slowly, tmp_path: Path) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: app.background.goes_on)
        assert "going on already" in app.background.bring_in(str(tmp_path))
        await pilot.pause()
        assert summary_of(unsorted).pictures == 6
        slowly.go_on.set()


async def test_no_folder_is_asked_for_while_work_goes_on(unsorted: Archive, slowly: Slowly) -> None:
    async with running(unsorted, waits=False) as (app, pilot):
        await until(pilot, lambda: app.background.goes_on)
        await pilot.press("a")
        await pilot.pause()
        assert "going on already" in text_of(app, "#said")
        assert not app.screen.query_one(AskLine).is_open
        slowly.go_on.set()


async def test_a_folder_that_is_not_there_can_be_mended_where_it_was_typed(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press("a", *"/nowhere", "enter")
        await pilot.pause()
        assert "There is nothing at /nowhere" in text_of(app, "#foot")
        assert app.screen.query_one(AskLine).field.value == "/nowhere"
        await pilot.press("backspace")
        assert app.screen.query_one(AskLine).field.value == "/nowher"
        assert summary_of(archive).pictures == 6


async def test_what_was_added_is_told_before_it_is_sorted(empty: Archive, slowly: Slowly, tmp_path: Path) -> None:
    card = card_of(tmp_path / "card", 2)
    async with running(empty, waits=False) as (app, pilot):
        assert "no pictures yet" in text_of(app, "#said")
        app.background.bring_in(str(card))
        await until(pilot, lambda: "finding features" in text_of(app, "#top"))
        assert "Added 2" in text_of(app, "#said")
        assert "no pictures" not in " ".join(row.cells[2] for row in app.screen.query_one(RowList).rows)
        await pilot.press("t", "escape")
        assert "no pictures" not in text_of(app, "#said")
        slowly.go_on.set()


def test_where_nothing_has_a_number_yet_the_next_step_is_to_type_some(archive: Archive) -> None:
    """The few gaps of such a job, of clocks, are none that the person came for."""
    summary = replace(summary_of(archive), to_sort=0, unsorted=0, tags=0, gaps=2, gaps_closable=2)
    assert next_place(summary) == "spots"
    assert "type the numbers" in next_words(summary)
    assert next_place(replace(summary, tags=3)) == "gaps"


def test_on_the_way_back_the_next_step_is_what_is_free_to_fit(archive: Archive) -> None:
    summary = replace(summary_of(archive), to_sort=58, off=46, refitted=43, next_up=("41 (shaft coupling bolts)",))

    assert next_place(summary) == "fit_next"
    assert next_words(summary) == "fit what is free now"
    assert next_place(replace(summary, next_up=())) == "sort"
    assert next_place(replace(summary, refitted=0)) == "sort"


async def test_a_folder_is_brought_in_with_tab_and_enter(archive: Archive, tmp_path: Path) -> None:
    (tmp_path / "phone card").mkdir()
    card_of(tmp_path / "phone card" / "DCIM", 2)
    (tmp_path / "other").mkdir()
    async with running(archive) as (app, pilot):
        await pilot.press("a")
        await pilot.pause()
        foot = text_of(app, "#foot")
        assert "enter" in foot
        assert "tab" in foot
        assert "esc" in foot
        app.screen.query_one(AskLine).field.value = f"{tmp_path}/p"
        await pilot.press("tab")
        assert app.screen.query_one(AskLine).field.value == f"{tmp_path}/phone card/"
        await pilot.press("tab", "enter")
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert summary_of(archive).pictures == 8


async def test_tab_shows_the_ways_where_there_are_several(archive: Archive, tmp_path: Path) -> None:
    card = tmp_path / "card"
    card.mkdir()
    for name in ("day 1", "day 2", ".hidden"):
        (card / name).mkdir()
    async with running(archive) as (app, pilot):
        await pilot.press("a")
        await pilot.pause()
        app.screen.query_one(AskLine).field.value = f"{card}/"
        await pilot.press("tab")
        assert app.screen.query_one(AskLine).field.value == f"{card}/day "
        assert "day 1  day 2" in text_of(app, "#foot")
        app.screen.query_one(AskLine).field.value = f"{card}/x"
        await pilot.press("tab")
        assert "nothing begins so" in text_of(app, "#foot")


def test_paths_are_completed_and_taken_apart(tmp_path: Path) -> None:
    (tmp_path / "two words").mkdir()
    (tmp_path / "a.jpg").touch()
    assert folders_and_files(f"{tmp_path}/") == [f"{tmp_path}/a.jpg", f"{tmp_path}/two words/"]
    assert folders_and_files(f"{tmp_path}/none/x") == []
    assert typed_paths(f"{tmp_path}/two words") == [tmp_path / "two words"]
    assert typed_paths("'one two' three") == [Path("one two"), Path("three")]
    assert typed_paths("it's") == [Path("it's")]


@pytest.mark.parametrize(
    ("ways", "start"), [(["abc"], "abc"), (["day 1", "day 2"], "day "), (["a", "ab"], "a"), (["a", "b"], "")]
)
def test_the_letters_all_begin_with(ways: list[str], start: str) -> None:
    assert common_start(ways) == start


def test_the_card_that_is_put_in_is_offered(tmp_path: Path) -> None:
    assert likely_folder([str(tmp_path)]) == ""
    (tmp_path / "CARD" / "DCIM").mkdir(parents=True)
    assert likely_folder([str(tmp_path)]) == f"{tmp_path}/CARD/DCIM/"
    (tmp_path / "PHONE" / "DCIM").mkdir(parents=True)
    assert likely_folder([str(tmp_path)]) == ""  # nobody can know which is meant


async def test_the_look_is_changed_and_kept_for_this_terminal(archive: Archive) -> None:
    async with running(archive, terminal="xterm") as (app, pilot):
        assert app.theme == DARK_SHOP.name
        dark = app.screen.styles.background
        await pilot.press("ctrl+t")
        await pilot.pause()
        assert app.theme == BRIGHT_YARD.name
        assert app.screen.styles.background.brightness > 0.9 > dark.brightness
    async with running(archive, terminal="xterm") as (again, _):
        assert again.theme == BRIGHT_YARD.name


@pytest.mark.parametrize("name", list(LOOKS))
async def test_words_stand_out_in_both_looks(archive: Archive, name: str) -> None:
    """At least 7 to 1, the ratio of WCAG 2.2 success criterion 1.4.6 for text."""
    async with running(archive) as (app, pilot):
        app.theme = name
        await pilot.pause()
        for widget in ("#top", "#said", "RowList", "KeyLine"):
            shown = app.screen.query_one(widget)
            paper, ink = shown.background_colors[1], shown.colors[1]
            lighter, darker = sorted((luminance((paper + ink).rgb), luminance(paper.rgb)), reverse=True)
            assert (lighter + 0.05) / (darker + 0.05) >= 7, (widget, ink, paper)


def luminance(rgb: tuple[int, int, int]) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (part / 255 for part in rgb)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


async def test_the_list_of_commands_has_what_can_be_done_here(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press("t")
        await pilot.pause()
        commands = {command.title: command for command in app.get_system_commands(app.screen)}
        assert {"Sort", "Gaps", "Undo", "New tag", "Came off", "Dark or bright", "Leave"} <= set(commands)
        assert "Stop the work" not in commands
        commands["Bring in"].callback()
        await pilot.pause()
        assert "tab completes" in str(app.screen.query_one("AskLine #foot").render())


async def test_help_says_when_there_is_more_below(archive: Archive) -> None:
    async with running(archive, size=(60, 20)) as (app, pilot):
        await pilot.press("question_mark")
        await pilot.pause()
        assert "more below: space" in text_of(app, "#top")
        for _ in range(6):
            await pilot.press("space")
            await pilot.pause()
        assert "more below" not in text_of(app, "#top")


async def test_q_leaves_from_any_screen_but_is_a_letter_in_a_name(archive: Archive) -> None:
    async with running(archive) as (app, pilot):
        await pilot.press("s", "r")
        await pilot.pause()
        await pilot.press("q")
        assert app.screen.query_one(AskLine).field.value.endswith("q")
        assert app._exit is False
        await pilot.press("escape", "q")
        await pilot.pause()
        assert app._exit is True


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


async def test_work_that_ends_while_another_screen_is_put_in_front_is_told_there_once_it_stands(
    archive: Archive,
) -> None:
    async with running(archive) as (app, pilot):
        app.push_screen(app.entries["spots"].factory())
        assert app.here is not None
        assert not app.here.is_mounted
        app.post_message(WorkTold("Printed."))
        screen = app.here
        await until(pilot, lambda: screen.is_mounted)
        await until(pilot, lambda: "Printed." in text_of(app, "#said"))
        assert isinstance(screen, SpotsScreen)
